/** Turning points of the quick heat: a stoke is a dip and a rise, then the heat peaks and goes down. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { followTurns, hasPeaked, newTurns, type Turns, turnsStoked } from '../../collector/core/turns.ts';
import { openRandom, uniform } from '../../collector/demo-kiln/random.ts';
import { MINUTE_MS, SECOND_MS, START_MS } from '../support/kiln.ts';

interface Turn {
  what: 'low' | 'high';
  /** When it was noticed, and when it was, in minutes. */
  noticed: number;
  was: number;
}

type Probes = Record<string, number>;

function follow(
  fromMin: number,
  toMin: number,
  everyS: number,
  probesC: (minute: number) => Probes,
  turns: Turns = newTurns(),
): { seen: Turn[]; turns: Turns } {
  const seen: Turn[] = [];
  for (let at = fromMin * MINUTE_MS; at <= toMin * MINUTE_MS; at += everyS * SECOND_MS) {
    const what = followTurns(turns, START_MS + at, new Map(Object.entries(probesC(at / MINUTE_MS))));
    const wasAt = what === 'low' ? turns.lowAt : turns.highAt;
    if (what) seen.push({ what, noticed: at / MINUTE_MS, was: (Number(wasAt) - START_MS) / MINUTE_MS });
  }
  return { seen, turns };
}

const highs = ({ seen }: { seen: Turn[] }) => seen.filter(({ what }) => what === 'high');
const lows = ({ seen }: { seen: Turn[] }) => seen.filter(({ what }) => what === 'low');

/** Lows at 5, 15, 25 … min, highs at 10, 20 …: as after stokes ten minutes apart. */
const stoked = (amplitudeC: number) => (minute: number) => ({
  low: 900 + minute + amplitudeC * Math.cos((2 * Math.PI * minute) / 10),
});

/**
 * A stoke every eight minutes, as a couple without lag would see it: the door's cold air takes 15 °C within a quarter of a
 * minute, the flame brings 25 °C within four minutes, and then the fire goes down (a dip of 10 to 25 °C and a rise of up to
 * ten minutes: common practice, no source).
 */
function afterStoke(minute: number): number {
  const since = ((minute % 8) + 8) % 8;
  const door = -15 * Math.min(1, since / 0.25) * Math.exp(-since / 1.2);
  return door + 25 * (since / 4) ** 2 * Math.exp(2 * (1 - since / 4));
}

describe('the turns of a kiln that is stoked each ten minutes', () => {
  it.each([
    { everyS: 1, amplitudeC: 5 },
    { everyS: 10, amplitudeC: 12 },
    { everyS: 20, amplitudeC: 12 },
    { everyS: 30, amplitudeC: 12 },
  ])('are all seen, each once, at a reading each $everyS s', ({ everyS, amplitudeC }) => {
    const { seen } = follow(0, 70, everyS, stoked(amplitudeC));
    const from10 = seen.filter(({ noticed }) => noticed > 9);
    expect(from10.map(({ what }) => what).slice(0, 11)).toEqual(
      Array.from({ length: 11 }, (_, i) => (i % 2 === 0 ? 'high' : 'low')),
    );
    for (const { what, noticed } of from10) {
      const truth = what === 'high' ? Math.round(noticed / 10) * 10 : Math.round((noticed - 5) / 10) * 10 + 5;
      // A peak within a minute and a half, a low within three: by then there is a rise to speak of.
      expect(noticed - truth).toBeLessThan(what === 'high' ? 1.5 : 3);
      expect(noticed - truth).toBeGreaterThan(-0.6);
    }
  });

  it('are found as soon in the noise of a couple', () => {
    const random = openRandom(7, 'noise');
    const noisy = (minute: number) => ({
      a: 900 + minute + afterStoke(minute) + 2 * (uniform(random) + uniform(random) - 1),
      b: 950 + minute + afterStoke(minute) + 2 * (uniform(random) + uniform(random) - 1),
    });
    const found = highs(follow(0, 160, 10, noisy)).filter(({ noticed }) => noticed > 24);
    expect(found).toHaveLength(17);
    // The flame is highest 4 min after each stoke: no sooner than a tenth of the rise below that, and 90 s after it at the latest.
    for (const { noticed } of found) {
      expect(afterStoke(noticed)).toBeGreaterThan(afterStoke(4) - 3.5);
      expect(noticed % 8).toBeLessThan(5.5);
    }
  });

  it('are told with the time at which the wood went in', () => {
    const { turns } = follow(0, 82, 5, (minute) => ({ a: 900 + minute + afterStoke(minute) }));
    expect(Math.abs((Number(turns.stokeAt) - START_MS) / MINUTE_MS - 80)).toBeLessThan(0.75);
  });
});

describe('a stoke before the heat has peaked', () => {
  /** The heat still rises when at 50.5 min the next wood goes in. */
  const AT = 50.5;
  const early = (minute: number) => ({
    a:
      900 +
      minute +
      (minute < AT ? afterStoke(minute) : afterStoke(minute - AT) + afterStoke(AT) * Math.exp(AT - minute)),
  });

  it('makes a dip that is no peak', () => {
    const run = follow(0, AT, 5, early);
    expect(highs(run).length).toBeGreaterThan(3);
    const dip = follow(AT + 0.1, AT + 3, 5, early, run.turns);
    expect(dip.seen.map(({ what }) => what)).toEqual(['low']);
    expect(hasPeaked(run.turns)).toBe(false);
  });

  it('is taken at its word where it is logged, however slowly the heat goes down', () => {
    const slowly = (minute: number) => ({
      a: 900 + minute + (minute < AT ? afterStoke(minute) : afterStoke(AT) - 2 * (minute - AT)),
    });
    const unlogged = follow(0, AT, 5, slowly);
    const logged = follow(0, AT, 5, slowly);
    turnsStoked(logged.turns, START_MS + AT * MINUTE_MS);
    expect(highs(follow(AT + 0.1, 55, 5, slowly, unlogged.turns))).toHaveLength(1);
    expect(highs(follow(AT + 0.1, 55, 5, slowly, logged.turns))).toEqual([]);
  });
});

describe('no low is seen', () => {
  const probe = (tempC: (minute: number) => number) => (minute: number) => ({ a: tempC(minute) });
  it.each([
    { what: 'in a climb', tempC: (minute: number) => 900 + minute },
    { what: 'in a ripple of 2 °C', tempC: (minute: number) => stoked(1)(minute).low },
    { what: 'in a closed kiln', tempC: (minute: number) => 1200 - 5 * minute },
    {
      // ±3 °C, the sign changing with each reading.
      what: 'in the noise of a couple that is read each second',
      tempC: (minute: number) => 900 + 3 * (Math.round(minute * 60) % 2 === 0 ? 1 : -1),
    },
  ])('$what', ({ tempC }) => {
    expect(lows(follow(0, 60, 1, probe(tempC)))).toEqual([]);
  });
});

describe('probes that come and go', () => {
  it('make no turn: what the others do goes on from where it was', () => {
    const both = (minute: number) => ({ front: 900 + minute, back: 600 + minute });
    const run = follow(0, 30, 10, both);
    const alone = follow(30.2, 45, 10, (minute) => ({ back: 600 + minute }), run.turns);
    const again = follow(45.2, 60, 10, both, alone.turns);
    expect([...run.seen, ...alone.seen, ...again.seen]).toEqual([]);
  });

  it('a probe that jumps by itself among three takes only a part of the jump along', () => {
    const three = (minute: number) => ({ a: 900 + minute, b: 910 + minute, c: 920 + minute });
    const run = follow(0, 30, 10, three);
    const before = run.turns.sharedC;
    follow(30.2, 30.2, 10, (minute) => ({ ...three(minute), c: 220 + minute }), run.turns);
    // At most 15 °C of it, shared by three.
    expect(before - run.turns.sharedC).toBeLessThan(5);
  });

  it('are forgotten in a gap of more than five minutes, and the last turns are kept', () => {
    const { turns } = follow(0, 57, 10, stoked(12));
    const { lowAt, highAt } = turns;
    expect(lowAt).not.toBeNull();
    const later = follow(66, 70, 10, (minute) => ({ low: 600 + minute }), turns);
    expect(later.seen).toEqual([]);
    expect(later.turns).toMatchObject({ lowAt, highAt, rising: true });
  });

  it.each([
    { what: 'a gap', awayMin: 60, offC: 0 },
    { what: 'a step of another couple', awayMin: 0.2, offC: 200 },
  ])('and $what gives the next stoke no time from before it', ({ awayMin, offC }) => {
    // The gap comes in the midst of a stoke's fall; the stoke after it falls less steeply.
    const { turns } = follow(0, 48.25, 5, (minute) => ({ a: 900 + minute + afterStoke(minute) }));
    const from = 48.25 + awayMin;
    const calm = (minute: number) => ({
      a: 900 + offC + minute + (minute < from + 20 ? 0 : 0.8 * afterStoke(minute - from - 20)),
    });
    const later = follow(from, from + 26, 5, calm, turns);
    expect(later.seen.map(({ what }) => what)).toContain('low');
    expect((Number(turns.stokeAt) - START_MS) / MINUTE_MS).toBeGreaterThan(from);
  });
});

it('whatever is read, its figures stay finite, and lows and highs go by turns or lows follow lows', () => {
  const reading = fc.record({
    stepS: fc.integer({ min: 0, max: 400 }),
    tempC: fc.double({ min: -50, max: 1500, noNaN: true }),
    both: fc.boolean(),
  });
  fc.assert(
    fc.property(fc.array(reading, { maxLength: 80 }), (all) => {
      const turns = newTurns();
      let at = START_MS;
      let was: string | null = null;
      for (const { stepS, tempC, both } of all) {
        at += stepS * SECOND_MS;
        const half: [string, number][] = both ? [['b', tempC / 2]] : [];
        const turn = followTurns(turns, at, new Map([['a', tempC], ...half]));
        if (turn === 'high') expect(was).not.toBe('high');
        was = turn ?? was;
        expect(Object.values(turns.heat).every((value) => value === null || Number.isFinite(value))).toBe(
          true,
        );
        expect(turns.heat.p22).toBeGreaterThan(-1e-9);
      }
    }),
    { numRuns: 60 },
  );
});
