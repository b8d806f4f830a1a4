/** The track: level and climb with the stoke sawtooth taken out. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { newTrack, type Track, trackClimb, trackLevelC, trackReading } from '../../collector/core/track.ts';
import { firstFilter, KILN, predictFilter, updateFilter } from '../../collector/core/track-filter.ts';
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

const slopeOf = ({ usual, off }: Track): number => usual + off;

/** As the trade has it, no source: after a stoke 10 to 25 °C down, then up for minutes. */
const stokeRipple = (hours: number, amplitudeC: number, minutes: number) =>
  amplitudeC * Math.sin((2 * Math.PI * hours * 60) / minutes);

describe('the filter against the same model written with matrices', () => {
  it.each([
    { what: 'every 20 seconds', steps: Array.from({ length: 300 }, () => 20 * SECOND_MS) },
    { what: 'every second', steps: Array.from({ length: 150 }, () => SECOND_MS) },
    { what: 'irregular', steps: Array.from({ length: 120 }, (_, i) => 700 + ((i * 7919) % 90_000)) },
    {
      what: 'gappy',
      steps: Array.from({ length: 60 }, (_, i) => (i % 15 === 14 ? 70 * MINUTE_MS : 10_000)),
    },
  ])('is equal to it to 1e-8, readings $what', ({ steps }) => {
    const noise = noiseOf(steps.length);
    let at = 0;
    let spelled = firstOf(700, KILN);
    const filter = firstFilter(700);
    for (const [i, stepMs] of steps.entries()) {
      at += stepMs;
      const hours = at / HOUR_MS;
      const periodH = (8 + (i % 50) / 10) / 60;
      // A wild one now and then, up and down, so that the guard and the rule for drops work too.
      const wildC = i % 37 === 36 ? 120 : i % 29 === 28 ? -30 : 0;
      const tempC = 700 + 60 * hours + stokeRipple(hours, 12, 9) + noise() + wildC;
      predictFilter(filter, stepMs / HOUR_MS, periodH);
      updateFilter(filter, tempC);
      spelled = nextOf(spelled, stepMs / HOUR_MS, periodH, tempC, KILN);
      const state = [filter.level, filter.usual, filter.off, filter.cycle, filter.cycleTurned];
      for (const [row, value] of state.entries())
        expect(Math.abs(value - Number(spelled.x[row])) / 100).toBeLessThan(1e-8);
      const { a00, a01, a02, a11, a12, a22, b00, b01, b11, c00, c01, c10, c11, c20, c21 } = filter;
      const covariance = [
        [a00, a01, a02, c00, c01],
        [a01, a11, a12, c10, c11],
        [a02, a12, a22, c20, c21],
        [c00, c10, c20, b00, b01],
        [c01, c11, c21, b01, b11],
      ];
      for (const [row, cells] of covariance.entries())
        for (const [column, value] of cells.entries())
          expect(Math.abs(value - Number(spelled.P[row]?.[column])) / 1e4).toBeLessThan(1e-8);
    }
  });
});

describe('what the track makes of a kiln', () => {
  it.each([-150, -20, 0, 28, 83, 140])(
    'a straight %i °C/h gives that climb once it is the usual one, and a level with no lag',
    (climb) => {
      const track = tracked(readings(9, 10_000, (hours) => climb * hours));
      expect(Math.abs(Number(trackClimb(track)?.climbCPerH) - climb)).toBeLessThan(0.5);
      // A block of readings ends up to half of itself before the last reading.
      expect(Math.abs(Number(trackLevelC(track)) - 9 * climb)).toBeLessThan(Math.abs(climb) / 360 + 0.1);
    },
  );

  it.each([
    { period: 'second', everyMs: SECOND_MS },
    { period: '10 s', everyMs: 10_000 },
    { period: 'minute', everyMs: MINUTE_MS },
  ])('finds the same climb with a reading each $period', ({ everyMs }) => {
    const track = tracked(readings(4, everyMs, (hours) => 600 + 60 * hours + stokeRipple(hours, 12, 9)));
    expect(Math.abs(Number(trackClimb(track)?.climbCPerH) - 60)).toBeLessThan(6);
    expect(Math.abs(Number(trackClimb(track)?.sdCPerH) - 18.5)).toBeLessThan(2);
  });

  // Intervals and sizes of the stoke sawtooth: common practice, no source.
  it.each([
    { amplitudeC: 5, minutes: 5, within: 7 },
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
      worstClimb = Math.max(worstClimb, Math.abs(slopeOf(track) - 60));
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
    const steady = readings(3, 20_000, (hours) => 900 + 60 * hours);
    const next = START_MS + 3 * HOUR_MS + 20_000;
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
    for (let i = 1; i <= 180; i++) trackReading(track, next + i * 20_000, 1080 + (60 * (i + 1)) / 180);
    expect(Math.abs(slopeOf(track) - 60)).toBeLessThan(2);
  });

  it('takes a time that goes back as the same instant', () => {
    const track = tracked(readings(1, 10_000, () => 500));
    const { at } = track;
    trackReading(track, START_MS, 501);
    expect(track.at).toBe(at);
    expect(Math.abs(track.level - 500)).toBeLessThan(1);
  });
});

describe('a kiln that is not fed', () => {
  const FED_H = 4;
  /** Climbs by 60 °C/h with a sawtooth of 9 min, is left alone after its last low, then fed again, `PAUSE_H` later. */
  const PAUSE_H = 0.5;
  const fedC = (h: number) => 600 + 60 * h - 12 * Math.cos((2 * Math.PI * h * 60) / 9);
  const lastLowH = (9 * 26) / 60;
  const leftC = (h: number) =>
    fedC(Math.min(h, lastLowH + 4.5 / 60)) - 200 * Math.max(0, h - lastLowH - 4.5 / 60);
  const trackedTo = (hours: number, tempC: (h: number) => number) => tracked(readings(hours, 10_000, tempC));

  it('is known by a fall that goes on for 1.7 of its periods since the last low', () => {
    expect(lastLowH).toBeLessThan(FED_H);
    const unfedAfter = (minutes: number) => trackedTo(lastLowH + minutes / 60, leftC).unfed;
    expect(unfedAfter(13)).toBe(false);
    expect(unfedAfter(20)).toBe(true);
  });

  it('is no longer so with the stoke that ends the pause, and what was lost is not held against the climb', () => {
    const fedAgainC = (h: number) => {
      const sinceH = h - lastLowH - PAUSE_H;
      return sinceH < 0 ? leftC(h) : leftC(lastLowH + PAUSE_H) + Math.min(60, 1200 * sinceH) + 60 * sinceH;
    };
    const before = trackedTo(lastLowH + PAUSE_H, fedAgainC);
    expect(before.unfed).toBe(true);
    expect(Number(trackClimb(before)?.climbCPerH)).toBeLessThan(-20);
    const after = trackedTo(lastLowH + PAUSE_H + 3 / 60, fedAgainC);
    expect(after.unfed).toBe(false);
    expect(Number(trackClimb(after)?.climbCPerH)).toBeGreaterThan(20);
  });

  it('is told to fall by no more than what of it lasts an hour, but of a closed kiln all is told', () => {
    const track = trackedTo(lastLowH + PAUSE_H, leftC);
    const climb = Number(trackClimb(track)?.climbCPerH);
    expect(climb).toBeGreaterThan(track.usual - 80);
    expect(Number(trackClimb(track, false)?.climbCPerH)).toBeLessThan(climb);
    expect(trackClimb(track, false)?.climbCPerH).toBe(slopeOf(track));
    // The further off, the less sure.
    expect(Number(trackClimb(track)?.sdCPerH)).toBeGreaterThan(0.4 * Math.abs(track.off));
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
          const numbers = Object.values(track).filter((value) => typeof value === 'number');
          expect(numbers.length).toBeGreaterThan(20);
          for (const value of numbers) expect(Number.isFinite(value)).toBe(true);
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
