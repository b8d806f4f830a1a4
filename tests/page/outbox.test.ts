import { describe, expect, it } from 'vitest';
import { put, taken, type Waiting, withWaiting } from '../../dashboard/outbox.ts';

const FIRING = 'meadow';
const entry = (log: string, id: string, firing = FIRING): Waiting => ({
  firing,
  at: 5,
  entry: { log, id, hole: 'left' },
});
const row = {
  entry: 0,
  id: 'known',
  at: 1,
  madeAt: 1,
  who: '',
  where: '',
  log: 'stoke',
  json: {},
  undone: false,
};

describe('the outbox', () => {
  it('forgets an entry that never left when it is taken back', () => {
    expect(put([entry('stoke', 'a'), entry('salt', 'b')], entry('undo', 'a'), new Set())).toEqual([
      entry('salt', 'b'),
    ]);
  });

  it('sends an undo after an entry that may have arrived', () => {
    const box = put([entry('stoke', 'a')], entry('undo', 'a'), new Set(['a']));
    expect(box.map(({ entry: { log } }) => log)).toEqual(['stoke', 'undo']);
    const once = taken(box, 'a');
    expect(once.map(({ entry: { log } }) => log)).toEqual(['undo']);
    expect(taken(once, 'a')).toEqual([]);
  });

  it('is left alone by answers to what it does not hold', () => {
    expect(taken([entry('stoke', 'a')], 'z')).toEqual([entry('stoke', 'a')]);
  });
});

describe('the log book with what waits', () => {
  it('shows what waits as on its way, and what is known already only once', () => {
    const shown = withWaiting([row], [entry('stoke', 'known'), entry('salt', 'new')], FIRING);
    expect(shown.map(({ id, log, pending }) => [id, log, pending])).toEqual([
      ['known', 'stoke', false],
      ['new', 'salt', true],
    ]);
    expect(shown[1]?.json).toEqual({ hole: 'left' });
  });

  it('shows an entry as taken back while its undo is on its way', () => {
    expect(withWaiting([row], [entry('undo', 'known')], FIRING)).toMatchObject([
      { id: 'known', undone: true },
    ]);
  });

  it('shows nothing that was pressed for another firing', () => {
    expect(withWaiting([row], [entry('salt', 'new', 'another')], FIRING)).toHaveLength(1);
  });
});
