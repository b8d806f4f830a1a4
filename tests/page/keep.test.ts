import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { guessPlace, placed } from '../../dashboard/ground.ts';
import { recall, remember } from '../../dashboard/keep.ts';
import { firstSettings } from '../../dashboard/settings.ts';
import { wallFrom } from '../../dashboard/wall.ts';
import { PLACE_WORDS } from '../../dashboard/words.ts';

function storage(full = false): Storage {
  const kept = new Map<string, string>();
  return {
    length: 0,
    clear: () => kept.clear(),
    key: () => null,
    getItem: (name) => kept.get(name) ?? null,
    removeItem: (name) => void kept.delete(name),
    setItem(name, value) {
      if (full) throw new Error('QuotaExceeded');
      kept.set(name, value);
    },
  };
}

describe('what the browser keeps', () => {
  const schema = z.object({ n: z.number() });

  it('comes back as it was', () => {
    const here = storage();
    expect(remember(here, 'thing', { n: 3 })).toBe(true);
    expect(recall(here, 'thing', schema, { n: 0 })).toEqual({ n: 3 });
  });

  it('is forgotten where it cannot be read', () => {
    const here = storage();
    here.setItem('spyhole.thing', '{"n":"many"}');
    here.setItem('spyhole.torn', '{"n":');
    expect(recall(here, 'thing', schema, { n: 0 })).toEqual({ n: 0 });
    expect(recall(here, 'torn', schema, { n: 0 })).toEqual({ n: 0 });
  });

  it('may be nothing at all, and then the page is told', () => {
    expect(remember(storage(true), 'thing', 1)).toBe(false);
    expect(remember(null, 'thing', 1)).toBe(false);
    expect(recall(null, 'thing', schema, { n: 0 })).toEqual({ n: 0 });
  });
});

it("the wall's time follows the longer of two clocks and never goes back", () => {
  let monotonic = 0;
  let system = 1_000_000;
  const wall = wallFrom(
    () => monotonic,
    () => system,
  );
  const step = (byMonotonic: number, bySystem: number) => {
    monotonic += byMonotonic;
    system += bySystem;
    return wall();
  };
  expect(step(1000, 1000)).toBe(1000);
  // Asleep: the monotonic clock stood still for two hours.
  expect(step(0, 7_200_000)).toBe(7_201_000);
  // The system's clock was set back.
  expect(step(1000, -3_600_000)).toBe(7_202_000);
});

it.each([
  ['en-US', 'F'],
  ['en-GB', 'C'],
  ['de', 'C'],
])('a reader of %s is first shown degrees %s', (language, unit) => {
  expect(firstSettings(language).unit).toBe(unit);
});

it.each([
  ['front', 'front'],
  ['back-left', 'back left'],
  ['flue', 'back'],
  ['low', 'middle'],
  ['door-right', 'front right'],
])('a probe called %s is first put at the %s', (name, place) => {
  expect(PLACE_WORDS[guessPlace(name)]).toBe(place);
});

it('a probe stands where the potter put it, several at one place if so', () => {
  const grid = placed([{ name: 'low' }, { name: 'high' }], { low: 7, high: 7 });
  expect(grid[7]).toEqual([{ name: 'low' }, { name: 'high' }]);
  expect(grid.flat()).toHaveLength(2);
});
