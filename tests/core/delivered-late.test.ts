/** Entries that a phone without net delivers late count by when they happened, not by when they came. */
import { describe, expect, it } from 'vitest';
import { feed, inputOf, MINUTE_MS, readingsIn } from '../support/kiln.ts';
import { atH, climbing, hello, readings } from './two-probes.ts';

/** A kiln at 9 h; entries with the minutes after that at which they happened and came. */
function delivered(entries: readonly [happened: number, came: number, entry: Record<string, unknown>][]) {
  const at = (minutes: number) => atH(9) + minutes * MINUTE_MS + 1;
  const logged = entries.map(([happened, came, entry]) =>
    inputOf.log(at(came), { ...entry, at: new Date(at(happened)).toISOString() }),
  );
  return feed([
    hello(),
    ...readings(8.5, 9, climbing(500, 80)),
    ...logged,
    ...readings(9.5, 9.6, climbing(500, 80)),
  ]);
}

const salt = (id: string) => ({ log: 'salt', hole: 'left', g: 300, id });
const END = { log: 'end-salt', id: 'e' };

describe('the stage', () => {
  it.each([
    {
      what: 'stays past the salt where salt from before its end comes after it',
      entries: [
        [0, 0, salt('a')],
        [10, 10, END],
        [5, 15, salt('b')],
      ] as const,
      stage: 'soak',
    },
    {
      what: 'goes on salting where the end came after salt that followed it',
      entries: [
        [0, 0, salt('a')],
        [10, 10, salt('b')],
        [5, 15, END],
      ] as const,
      stage: 'salting',
    },
    {
      what: 'goes back to salting for salt that went in after the end',
      entries: [
        [0, 0, salt('a')],
        [5, 10, END],
        [8, 15, salt('b')],
      ] as const,
      stage: 'salting',
    },
  ])('$what', ({ entries, stage }) => {
    const { state } = delivered(entries.map(([happened, came, entry]) => [happened, came, entry]));
    expect(state.stage.stage).toBe(stage);
    expect(state.logged.salt.ended).toBe(stage === 'soak');
  });
});

describe('a probe', () => {
  const pulled = { log: 'pulled', probe: 'low', id: 'p' };
  const back = { log: 'put-back', probe: 'low', id: 'b' };
  it('that was put back is in, though that it was pulled came later', () => {
    const fed = delivered([
      [10, 10, back],
      [5, 15, pulled],
    ]);
    expect(fed.state.probes[0]?.pulled).toBe(false);
    expect(readingsIn(fed.outputs).at(-1)?.rows[0]?.smoothC).not.toBeNull();
  });

  it('that was pulled is out, though that it was put back before came later', () => {
    const { state } = delivered([
      [10, 10, pulled],
      [5, 15, back],
    ]);
    expect(state.probes[0]?.pulled).toBe(true);
  });
});
