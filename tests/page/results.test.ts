import { describe, expect, it } from 'vitest';
import {
  emptyRow,
  leftOver,
  mergedRows,
  photoNames,
  placesOnGround,
  prefilled,
} from '../../dashboard/results/table.ts';

const row = (place: string, good: number) => ({ ...emptyRow(place, 'mug', ''), good });

describe('the form of results', () => {
  it('is prefilled from the load: what was kept stays, what is missing comes empty, none of what was not there', () => {
    const kept = [{ ...row('front', 3), loaded: 4 }];
    const load = [
      { place: 'front', shape: 'mug', clay: '', pieces: 5 },
      { place: 'back', shape: 'jar', clay: 'red', pieces: 2 },
      { place: 'back', shape: 'jar', clay: 'red', pieces: 1 },
      { place: 'back', shape: 'bowl', clay: '', pieces: 0 },
    ];
    expect(prefilled(kept, load)).toEqual([...kept, { ...emptyRow('back', 'jar', 'red'), loaded: 3 }]);
  });

  it.each([
    [
      'both changed another row',
      [row('a', 1), row('b', 1)],
      [row('a', 2), row('b', 1)],
      [row('a', 1), row('b', 3)],
      [2, 3],
    ],
    ['both changed the same row: here it was seen last', [row('a', 1)], [row('a', 2)], [row('a', 3)], [2]],
    ['only there', [row('a', 1)], [row('a', 1)], [row('a', 3)], [3]],
    ['a new row on either side', [], [row('a', 2)], [row('b', 3)], [3, 2]],
    ['gone there, not touched here', [row('a', 1)], [row('a', 1)], [], []],
    ['gone there, changed here', [row('a', 1)], [row('a', 2)], [], [2]],
  ])('merges by row: %s', (_, base, mine, theirs, goods) => {
    expect(mergedRows(base, mine, theirs).map(({ good }) => good)).toEqual(goods);
  });

  it.each([
    [null, 3, null],
    [5, 3, 2],
    [5, 7, 0],
  ])('of %j loaded and %i counted leaves %j', (loaded, good, left) => {
    expect(leftOver({ ...row('a', good), loaded })).toBe(left);
  });

  it('takes photos by their names', () => {
    expect(photoNames(' a.jpg, /phone/b 2.jpg;; C:\\c.jpg,')).toEqual(['a.jpg', 'b 2.jpg', 'c.jpg']);
  });

  it('puts a place on the ground plan where its name says, and else in a row', () => {
    const { grid, elsewhere } = placesOnGround(['front low', 'Front high', 'back left', 'shelf 3', 'middle']);
    expect(grid[7]).toEqual(['front low', 'Front high']);
    expect(grid[0]).toEqual(['back left']);
    expect(grid[4]).toEqual(['middle']);
    expect(elsewhere).toEqual(['shelf 3']);
  });
});
