/** The track: level and climb with the stoke sawtooth taken out. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { newTrack, type Track, trackClimb, trackLevelC, trackReading } from '../../collector/core/track.ts';
import { HOUR_MS, MINUTE_MS, SECOND_MS, START_MS } from '../support/kiln.ts';
import { firstOf, nextOf } from './matrix-filter.ts';

interface Seen {
  at: number;
  tempC: number;
}

function tracked(readings: readonly Seen[]): Track {
  const track = newTrack();
  for (const { at, tempC } of readings) trackReading(track, at, tempC);
  return track;
}

/** One reading each `everyMs` of what `tempC` makes of the hours since the start. */
function readings(hours: number, everyMs: number, tempC: (hours: number) => number): Seen[] {
  return Array.from({ length: Math.floor((hours * HOUR_MS) / everyMs) + 1 }, (_, i) => ({
    at: START_MS + i * everyMs,
    tempC: tempC((i * everyMs) / HOUR_MS),
  }));
}

/** Mean 0, standard deviation 1, the same for ever: Lehmer's generator of Park & Miller, CACM 31, 1988. */
function noiseOf(seed: number): () => number {
  let state = seed;
  const uniform = () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
  return () => Math.sqrt(12) * (uniform() + uniform() + uniform() + uniform() - 2) * 0.5;
}

/** As the trade has it, no source: after a stoke 10 to 25 °C down, then up for minutes. */
const stokeRipple = (hours: number, amplitudeC: number, minutes: number) =>
  amplitudeC * Math.sin((2 * Math.PI * hours * 60) / minutes);

describe('the track against the same model written with matrices', () => {
  it.each([
    { what: 'every second', steps: Array.from({ length: 200 }, () => SECOND_MS) },
    { what: 'every 20 seconds', steps: Array.from({ length: 300 }, () => 20 * SECOND_MS) },
    { what: 'irregular', steps: Array.from({ length: 120 }, (_, i) => 700 + ((i * 7919) % 90_000)) },
    {
      what: 'gappy',
      steps: Array.from({ length: 60 }, (_, i) => (i % 15 === 14 ? 70 * MINUTE_MS : 10_000)),
    },
  ])('is equal to it to 1e-9, readings $what', ({ steps }) => {
    const noise = noiseOf(steps.length);
    let at = START_MS;
    let filter = firstOf(at, 700);
    const track = tracked([{ at, tempC: 700 }]);
    for (const [i, stepMs] of steps.entries()) {
      at += stepMs;
      const hours = (at - START_MS) / HOUR_MS;
      // A wild one now and then, so that the guard works too.
      const tempC = 700 + 60 * hours + stokeRipple(hours, 12, 9) + noise() + (i % 37 === 36 ? 120 : 0);
      trackReading(track, at, tempC);
      filter = nextOf(filter, at, tempC);
      const { level, slope, cycle, cycleTurned } = track;
      const close = (ours: number, theirs: number | undefined, scale: number) =>
        expect(Math.abs(ours - Number(theirs)) / scale).toBeLessThan(1e-9);
      close(level, filter.x[0], 1000);
      close(slope, filter.x[1], 100);
      close(cycle, filter.x[2], 100);
      close(cycleTurned, filter.x[3], 100);
      close(track.a00, filter.P[0]?.[0], 100);
      close(track.a01, filter.P[0]?.[1], 1000);
      close(track.a11, filter.P[1]?.[1], 10_000);
      close(track.b00, filter.P[2]?.[2], 100);
      close(track.b01, filter.P[2]?.[3], 100);
      close(track.b11, filter.P[3]?.[3], 100);
      close(track.c00, filter.P[0]?.[2], 100);
      close(track.c01, filter.P[0]?.[3], 100);
      close(track.c10, filter.P[1]?.[2], 1000);
      close(track.c11, filter.P[1]?.[3], 1000);
    }
  });
});

describe('what the track makes of a kiln', () => {
  it.each([-150, -20, 0, 28, 83, 140])(
    'a straight %i °C/h gives that climb, and a level with no lag',
    (climb) => {
      const track = tracked(readings(5, 10_000, (hours) => 600 + climb * hours));
      expect(trackClimb(track)?.climbCPerH).toBeCloseTo(climb, 3);
      expect(trackLevelC(track)).toBeCloseTo(600 + 5 * climb, 3);
    },
  );

  it.each([
    { period: 'second', everyMs: SECOND_MS },
    { period: '10 s', everyMs: 10_000 },
    { period: 'minute', everyMs: MINUTE_MS },
  ])('finds the same climb with a reading each $period', ({ everyMs }) => {
    const track = tracked(readings(4, everyMs, (hours) => 600 + 60 * hours + stokeRipple(hours, 12, 9)));
    expect(Math.abs(Number(trackClimb(track)?.climbCPerH) - 60)).toBeLessThan(6);
    expect(trackClimb(track)?.sdCPerH).toBeCloseTo(23.1, 0);
  });

  // Intervals and sizes of the stoke sawtooth: common practice, no source.
  it.each([
    { amplitudeC: 5, minutes: 5, within: 4 },
    { amplitudeC: 12, minutes: 9, within: 8 },
    { amplitudeC: 12, minutes: 12, within: 20 },
  ])('takes a sawtooth of ±$amplitudeC °C in $minutes min out', ({ amplitudeC, minutes, within }) => {
    const truth = (hours: number) => 600 + 60 * hours;
    const track = newTrack();
    let worstClimb = 0;
    let worstLevel = 0;
    for (const { at, tempC } of readings(6, 10_000, (h) => truth(h) + stokeRipple(h, amplitudeC, minutes))) {
      trackReading(track, at, tempC);
      const hours = (at - START_MS) / HOUR_MS;
      if (hours < 2) continue;
      worstClimb = Math.max(worstClimb, Math.abs(track.slope - 60));
      worstLevel = Math.max(worstLevel, Math.abs(track.level - truth(hours)));
    }
    expect(worstClimb).toBeLessThan(within);
    expect(worstLevel).toBeLessThan(amplitudeC / 2);
    // The quick slope of the sawtooth itself, which nobody could follow.
    const quickest = (amplitudeC * 2 * Math.PI * 60) / minutes;
    expect(worstClimb).toBeLessThan(quickest / 10);
  });

  it('says of its climb how sure it is: the truth lies within two deviations', () => {
    const noise = noiseOf(11);
    const track = newTrack();
    let outside = 0;
    let told = 0;
    for (const { at, tempC } of readings(8, 10_000, (h) => 300 + 70 * h + stokeRipple(h, 12, 9) + noise())) {
      trackReading(track, at, tempC);
      const climb = trackClimb(track);
      if (!climb) continue;
      told += 1;
      if (Math.abs(climb.climbCPerH - 70) > 2 * climb.sdCPerH) outside += 1;
    }
    expect(told).toBeGreaterThan(2000);
    expect(outside / told).toBeLessThan(0.05);
  });

  it('says no climb before it has seen 5 minutes', () => {
    const all = readings(0.2, 10_000, (hours) => 300 + 60 * hours);
    const before = all.filter(({ at }) => at - START_MS < 5 * MINUTE_MS);
    expect(trackClimb(newTrack())).toBeNull();
    expect(trackLevelC(newTrack())).toBeNull();
    expect(trackClimb(tracked(before))).toBeNull();
    expect(trackLevelC(tracked(before))).not.toBeNull();
    expect(trackClimb(tracked(all))).not.toBeNull();
  });

  it('begins anew after more than 3 h without a reading, not before', () => {
    const first = readings(2, 10_000, (hours) => 300 + 60 * hours);
    const end = START_MS + 2 * HOUR_MS;
    expect(trackClimb(tracked([...first, { at: end + 3 * HOUR_MS, tempC: 600 }]))).not.toBeNull();
    const anew = tracked([...first, { at: end + 3 * HOUR_MS + 1, tempC: 600 }]);
    expect(trackClimb(anew)).toBeNull();
    expect(trackLevelC(anew)).toBe(600);
  });

  it('gives a wild reading no more weight than one at three deviations, and forgets it', () => {
    const steady = readings(3, 10_000, (hours) => 900 + 60 * hours);
    const next = START_MS + 3 * HOUR_MS + 10_000;
    const levelWith = (offC: number) => {
      const track = tracked(steady);
      const before = track.level;
      trackReading(track, next, 1080 + offC);
      return Math.abs(track.level - before);
    };
    const least = levelWith(0);
    const ordinary = Math.max(...[1, 2, 4, 8, 12].map(levelWith));
    for (const offC of [30, 100, 300, 1000, -1000]) expect(levelWith(offC)).toBeLessThan(ordinary + least);
    const track = tracked([...steady, { at: next, tempC: 2000 }]);
    for (let i = 1; i <= 180; i++) trackReading(track, next + i * 10_000, 1080 + (60 * (i + 1)) / 360);
    expect(Math.abs(track.slope - 60)).toBeLessThan(1);
  });

  it('takes a time that goes back as the same instant', () => {
    const track = tracked(readings(1, 10_000, () => 500));
    const { at } = track;
    trackReading(track, START_MS, 501);
    expect(track.at).toBe(at);
    expect(Math.abs(track.level - 500)).toBeLessThan(1);
  });
});

describe('the track, whatever comes', () => {
  const reading = fc.record({
    stepMs: fc.oneof(fc.integer({ min: -60_000, max: 120_000 }), fc.integer({ min: 0, max: 4 * HOUR_MS })),
    tempC: fc.double({ min: -50, max: 1800, noNaN: true }),
  });

  it('stays finite, with no variance below nothing', () => {
    fc.assert(
      fc.property(fc.array(reading, { minLength: 1, maxLength: 300 }), (all) => {
        const track = newTrack();
        let at = START_MS;
        for (const { stepMs, tempC } of all) {
          at += stepMs;
          trackReading(track, at, tempC);
          for (const value of Object.values(track)) expect(Number.isFinite(value)).toBe(true);
          for (const variance of [track.a00, track.a11, track.b00, track.b11])
            expect(variance).toBeGreaterThanOrEqual(0);
          const { a00, a01, a11, b00, b01, b11, c00 } = track;
          // No two parts go together more than wholly (a correlation of 1, but for rounding).
          expect(a01 * a01).toBeLessThanOrEqual(a00 * a11 * (1 + 1e-6) + 1e-6);
          expect(b01 * b01).toBeLessThanOrEqual(b00 * b11 * (1 + 1e-6) + 1e-6);
          // What a reading shows of level and cycle together.
          expect(a00 + 2 * c00 + b00).toBeGreaterThanOrEqual(-1e-9);
        }
      }),
      { numRuns: 150 },
    );
  });
});
