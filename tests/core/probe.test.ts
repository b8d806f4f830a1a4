/** One probe's line: late readings, heat work over gaps, and a probe that is put back. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addHeat, coneValue, newHeatWork } from '../../collector/core/heat-work/heat-work.ts';
import {
  addLate,
  feedProbe,
  newProbeTrack,
  type ProbeReading,
  type ProbeTrack,
  probeLevelC,
  restartProbe,
  workInLate,
} from '../../collector/core/probe.ts';
import { trackClimb } from '../../collector/core/track.ts';
import { HOUR_MS, MINUTE_MS, probeOf, SECOND_MS, START_MS } from '../support/kiln.ts';

const newProbe = (): ProbeTrack => newProbeTrack(probeOf('low'), Number.NEGATIVE_INFINITY);

function readingAt(at: number, tempC: number | null, changes: Partial<ProbeReading> = {}): ProbeReading {
  return { at, raw: tempC ?? '!open', tempC, offsetC: 0, cooling: false, ...changes };
}

/** A kiln that climbs and ripples, with spikes, breaks, and a frozen stretch in it. */
function firingOf(count: number, everyS = 20): ProbeReading[] {
  return Array.from({ length: count }, (_, i) => {
    const at = START_MS + i * everyS * SECOND_MS;
    const hours = (i * everyS) / 3600;
    const tempC = 600 + 80 * hours + 12 * Math.sin(hours * 42);
    if (i % 41 === 17) return readingAt(at, tempC + 400);
    if (i % 53 === 20) return readingAt(at, null);
    if (i >= 200 && i < 240) return readingAt(at, 777);
    return readingAt(at, tempC);
  });
}

/** Feeds those in time, and each of the late ones behind the reading at its place. */
function feedWith(readings: readonly ProbeReading[], lateAfter: ReadonlyMap<number, number[]>): ProbeTrack {
  const probe = newProbe();
  const late = new Set([...lateAfter.values()].flat());
  const bring = (index: number) => {
    const reading = readings[index];
    if (!reading) return;
    const now = readings[[...lateAfter].find(([, which]) => which.includes(index))?.[0] ?? 0]?.at ?? 0;
    addLate(probe, reading, now);
  };
  readings.forEach((reading, i) => {
    if (!late.has(i)) feedProbe(probe, reading);
    for (const index of lateAfter.get(i) ?? []) bring(index);
  });
  workInLate(probe);
  return probe;
}

const inTime = (readings: readonly ProbeReading[]): ProbeTrack => feedWith(readings, new Map());

describe('late readings', () => {
  /** Up to 2 h are 360 readings of 20 s. */
  const COUNT = 700;
  const READINGS = firingOf(COUNT);
  const EXPECTED = inTime(READINGS).line;

  it('of any number, in any order, give exactly the line that they would have given in time', () => {
    const lateOnes = fc.uniqueArray(fc.integer({ min: 0, max: COUNT - 2 }), { maxLength: 120 });
    fc.assert(
      fc.property(lateOnes, fc.infiniteStream(fc.integer({ min: 1, max: 359 })), (indices, delays) => {
        const late = new Map<number, number[]>();
        const lateSet = new Set(indices);
        for (const index of indices) {
          const [delay = 1] = delays.take(1);
          // They come after a reading that is on time and not more than 2 h later.
          let after = Math.min(index + delay, COUNT - 1);
          while (lateSet.has(after)) after += 1;
          if (after - index > 360) continue;
          late.set(after, [...(late.get(after) ?? []), index]);
        }
        const brought = new Set([...late.values()].flat());
        const kept = READINGS.filter((_, i) => !lateSet.has(i) || brought.has(i));
        const expected = kept.length === COUNT ? EXPECTED : inTime(kept).line;
        const renumbered = new Map(
          [...late].map(([after, which]) => [
            kept.indexOf(READINGS[after] as ProbeReading),
            which.map((i) => kept.indexOf(READINGS[i] as ProbeReading)),
          ]),
        );
        expect(feedWith(kept, renumbered).line).toEqual(expected);
      }),
      { numRuns: 60 },
    );
  });

  it('before the first one in time', () => {
    const readings = firingOf(300);
    const late = new Map([[100, [0, 1, 2, 3, 50]]]);
    expect(feedWith(readings, late).line).toEqual(inTime(readings).line);
  });

  it('an hour of them at once, as after a cable was out', () => {
    const readings = firingOf(400);
    const gone = Array.from({ length: 180 }, (_, i) => 100 + i);
    expect(feedWith(readings, new Map([[280, gone]])).line).toEqual(inTime(readings).line);
    expect(feedWith(readings, new Map([[280, gone.toReversed()]])).line).toEqual(inTime(readings).line);
  });

  it.each([
    { ageMs: 2 * HOUR_MS, worked: true },
    { ageMs: 2 * HOUR_MS + 1, worked: false },
  ])('$ageMs ms old: worked in is $worked', ({ ageMs, worked }) => {
    const readings = firingOf(600);
    const last = readings[500] as ProbeReading;
    const at = last.at - ageMs;
    const probe = newProbe();
    for (const reading of readings.slice(0, 501)) feedProbe(probe, reading);
    const before = structuredClone(probe.line);
    addLate(probe, readingAt(at, 640), last.at);
    workInLate(probe);
    if (worked) expect(probe.line).not.toEqual(before);
    else expect(probe.line).toEqual(before);
  });

  it('go by whether the kiln was closed at their time, not now', () => {
    // The same number for an hour: no wonder in a closed kiln, and a frozen read-out in one that burns.
    const readings = Array.from({ length: 180 }, (_, i) =>
      readingAt(START_MS + i * 20_000, 900, { cooling: i >= 5 }),
    );
    const late = new Map([[179, Array.from({ length: 100 }, (_, i) => 20 + i)]]);
    expect(feedWith(readings, late).line).toEqual(inTime(readings).line);
    expect(probeLevelC(feedWith(readings, late))).not.toBeNull();
  });

  it('keep no more than a little over 2 h of readings, however long the firing', () => {
    const probe = newProbe();
    for (const reading of firingOf(5 * 24 * 3, 20 * 60)) feedProbe(probe, reading);
    expect(probe.history.length).toBeLessThan(10);
    const quick = newProbe();
    for (let i = 0; i < 20_000; i++) feedProbe(quick, readingAt(START_MS + i * 1000, 600 + (i % 7)));
    expect(quick.history.length).toBeLessThan(7200 + 2 * 300 + 2);
    expect(quick.marks.length).toBeLessThan(28);
  });
});

describe('heat work', () => {
  const HOLD_C = 1150;
  /** Readings of one heat each 20 s, ending at `toMs`, but for a gap. */
  const held = (toMs: number, gap?: { fromMs: number; toMs: number }): ProbeTrack => {
    const probe = newProbe();
    for (let ms = 0; ms <= toMs; ms += 20_000) {
      if (gap && ms > gap.fromMs && ms < gap.toMs) continue;
      feedProbe(probe, readingAt(START_MS + ms, HOLD_C + (ms % 40_000 === 0 ? 0 : 0.2)));
    }
    return probe;
  };
  /** The same by one straight piece, rates from the heat work's own tests. */
  const coneOf = (spanMs: number): number => {
    const heat = newHeatWork();
    addHeat(heat, HOLD_C + 0.1, HOLD_C + 0.1, spanMs);
    return coneValue(heat) ?? Number.NaN;
  };
  const coneIn = (probe: ProbeTrack): number => coneValue(probe.line.heat) ?? Number.NaN;

  it.each([
    { gapMin: 10, what: 'counts as if it had gone on' },
    { gapMin: 119, what: 'counts as if it had gone on' },
  ])('over a gap of $gapMin min $what', ({ gapMin }) => {
    const gap = { fromMs: HOUR_MS, toMs: HOUR_MS + gapMin * MINUTE_MS };
    expect(coneIn(held(4 * HOUR_MS, gap))).toBeCloseTo(coneIn(held(4 * HOUR_MS)), 2);
    expect(coneIn(held(4 * HOUR_MS))).toBeCloseTo(coneOf(4 * HOUR_MS), 2);
  });

  it('over a gap of more than 2 h counts nothing, for nobody knows what the kiln did', () => {
    const gap = { fromMs: HOUR_MS, toMs: 3 * HOUR_MS + MINUTE_MS };
    expect(coneIn(held(4 * HOUR_MS, gap))).toBeCloseTo(coneOf(2 * HOUR_MS - MINUTE_MS), 2);
    expect(coneIn(held(4 * HOUR_MS, gap))).toBeLessThan(coneIn(held(4 * HOUR_MS)) - 0.3);
  });

  it('does not count what the screen keeps out', () => {
    const probe = held(HOUR_MS);
    const before = coneIn(probe);
    feedProbe(probe, readingAt(START_MS + HOUR_MS + 20_000, 1700));
    expect(coneIn(probe)).toBe(before);
  });

  it("goes by the user's own correction", () => {
    const corrected = newProbe();
    for (let ms = 0; ms <= HOUR_MS; ms += 20_000)
      feedProbe(
        corrected,
        readingAt(START_MS + ms, HOLD_C - 30 + (ms % 40_000 === 0 ? 0 : 0.2), { offsetC: 30 }),
      );
    expect(coneIn(corrected)).toBeCloseTo(coneIn(held(HOUR_MS)), 9);
  });
});

describe("the user's own correction", () => {
  it('moves the level when it is changed, and is no climb', () => {
    const probe = newProbe();
    const readings = firingOf(150).map(({ at }, i) => readingAt(at, 600 + i / 3));
    for (const [i, reading] of readings.entries()) {
      const before = probeLevelC(probe);
      feedProbe(probe, { ...reading, offsetC: i < 100 ? 0 : -60 });
      const moved = Number(probeLevelC(probe)) - Number(before);
      if (i === 100) expect(moved).toBeCloseTo(1 / 3 - 60, 1);
      if (i > 100) expect(moved).toBeCloseTo(1 / 3, 1);
    }
    expect(probe.line.track).toEqual(inTime(readings).line.track);
    // A third of a degree each 20 s; after so short a time a little of it is held back.
    expect(Math.abs(Number(trackClimb(probe.line.track)?.climbCPerH) - 60)).toBeLessThan(2);
  });
});

describe('a probe put back', () => {
  const firedProbe = (): ProbeTrack => {
    const probe = newProbe();
    for (let i = 0; i < 400; i++) feedProbe(probe, readingAt(START_MS + i * 20_000, 1100 + i / 4));
    return probe;
  };
  const BACK_MS = START_MS + 3 * HOUR_MS;

  it('has a new track and screen, and keeps the heat of its place', () => {
    const probe = firedProbe();
    const cone = coneValue(probe.line.heat);
    expect(cone).not.toBeNull();
    restartProbe(probe, BACK_MS);
    expect(probeLevelC(probe)).toBeNull();
    expect(trackClimb(probe.line.track)).toBeNull();
    expect(coneValue(probe.line.heat)).toBe(cone);
    // 300 °C colder than before: the first reading is believed, and no heat is made up from the time in between.
    expect(feedProbe(probe, readingAt(BACK_MS, 900))).toBe('good');
    expect(probeLevelC(probe)).toBe(900);
    expect(coneValue(probe.line.heat)).toBe(cone);
  });

  it('takes no late reading from before', () => {
    const probe = firedProbe();
    restartProbe(probe, BACK_MS);
    feedProbe(probe, readingAt(BACK_MS + 20_000, 900));
    feedProbe(probe, readingAt(BACK_MS + 40_000, 901));
    const line = structuredClone(probe.line);
    addLate(probe, readingAt(BACK_MS - 20_000, 40), BACK_MS + 40_000);
    workInLate(probe);
    expect(probe.line).toEqual(line);
    addLate(probe, readingAt(BACK_MS, 899), BACK_MS + 40_000);
    workInLate(probe);
    expect(probe.line).not.toEqual(line);
    expect(probe.line.track.startedAt).toBe(BACK_MS);
  });
});

it('a probe that jumps has a new track; one that froze gets one when it lives again', () => {
  const probe = newProbe();
  for (let i = 0; i < 100; i++) feedProbe(probe, readingAt(START_MS + i * 20_000, 900 + i / 10));
  let at = START_MS + 100 * 20_000;
  const said = [500, 501, 502, 503].map((tempC) => {
    at += 20_000;
    return feedProbe(probe, readingAt(at, tempC));
  });
  expect(said).toEqual(['spike', 'spike', 'spike', 'jump']);
  expect(probeLevelC(probe)).toBe(503);
  expect(trackClimb(probe.line.track)).toBeNull();
  for (let i = 0; i < 30; i++) {
    at += 20_000;
    feedProbe(probe, readingAt(at, 510));
  }
  expect(probeLevelC(probe)).toBeNull();
  expect(feedProbe(probe, readingAt(at + 20_000, 520))).toBe('good');
  expect(probeLevelC(probe)).toBe(520);
});
