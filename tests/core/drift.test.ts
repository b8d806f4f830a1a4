/** A couple that slides away from its neighbours, and all that places in a kiln do without one. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type DriftWatch, newDriftWatch, noteLevels, watchDrift } from '../../collector/core/drift.ts';
import { HOUR_MS, MINUTE_MS, START_MS } from '../support/kiln.ts';

/** A place in the kiln: its level in °C by the hours since the start; null where its probe gives none. */
type Place = (hours: number) => number | null;

interface Watched {
  watches: DriftWatch[];
  /** `low drift down at 9.5 h`, in order. */
  told: string[];
}

const BUCKET_MIN = 10;

/** Watches places by the minute, as the core does; `closedH`: the kiln is not fired from then on. */
function watch(places: readonly Place[], hours: number, closedH = Number.POSITIVE_INFINITY): Watched {
  const watches = places.map(newDriftWatch);
  const told: string[] = [];
  const before = places.map(() => false);
  for (let minute = 0; minute <= hours * 60; minute += 1) {
    const h = minute / 60;
    noteLevels(
      watches,
      places.map((place) => place(h)),
    );
    if (minute % BUCKET_MIN === 0) watchDrift(watches, 1, START_MS + minute * MINUTE_MS, h < closedH);
    watches.forEach((each, i) => {
      const is = each.told !== null;
      if (is !== before[i]) {
        const how = each.told ? `${each.told.kind} ${each.told.slideC < 0 ? 'down' : 'up'}` : 'over';
        told.push(`${i} ${how}`);
      }
      before[i] = is;
    });
  }
  return { watches, told };
}

const TOP_C = 1240;
/** A climb of 80 °C/h to the top and a soak there. */
const climb = (hours: number): number => Math.min(20 + 80 * hours, TOP_C);
/** What is left of the stokes in a smoothed level. */
const ripple = (hours: number, sizeC = 3): number => sizeC * Math.sin(2 * Math.PI * 3.7 * hours);
const place =
  (offsetC: number, rippleC = 3): Place =>
  (hours) =>
    climb(hours) + offsetC + ripple(hours, rippleC);
/** The same place by a couple that drifts by `rateCPerH` from `fromH` on, for `forH`. */
const drifting =
  (of: Place, rateCPerH: number, fromH: number, forH = 4): Place =>
  (hours) => {
    const levelC = of(hours);
    return levelC === null ? null : levelC + rateCPerH * Math.min(Math.max(hours - fromH, 0), forH);
  };

/** Straight between points of heat, °C. */
function between(points: readonly (readonly [number, number])[], heatC: number): number {
  const next = points.findIndex(([atC]) => atC > heatC);
  const [a, b] = [points[next - 1], points[next]];
  if (!a || !b) return (next === 0 ? points[0] : points.at(-1))?.[1] ?? 0;
  return a[1] + ((heatC - a[0]) / (b[0] - a[0])) * (b[1] - a[1]);
}

/** Front to back: 400 °F on the way, 150 °F at the top (a potter's published diary, evafunderburgh.com). */
const PUBLISHED: readonly (readonly [number, number])[] = [
  [20, 0],
  [600, 222],
  [1240, 83],
];
/** Evens out, and ends the other way round. */
const EVENING_OUT: readonly (readonly [number, number])[] = [
  [20, 0],
  [400, 120],
  [1150, 0],
  [1240, -25],
];
const apart =
  (points: readonly (readonly [number, number])[], share: number, rippleC = 3): Place =>
  (hours) =>
    climb(hours) - share * between(points, climb(hours)) + ripple(hours, rippleC);

describe('what places do is no drift', () => {
  it('parallel offsets, of any size', () => {
    const offset = fc.double({ min: -200, max: 200, noNaN: true });
    const rippled = fc.double({ min: 0, max: 6, noNaN: true });
    fc.assert(
      fc.property(fc.array(fc.tuple(offset, rippled), { minLength: 2, maxLength: 4 }), (places) => {
        expect(
          watch(
            places.map(([offsetC, rippleC]) => place(offsetC, rippleC)),
            18,
          ).told,
        ).toEqual([]);
      }),
      { numRuns: 12 },
    );
  });

  it.each([
    { what: 'growing to the published differences', points: PUBLISHED },
    { what: 'evening out, and past it', points: EVENING_OUT },
  ])('$what', ({ points }) => {
    const front = [place(0), place(8, 5)];
    const back = [apart(points, 1, 5), apart(points, 0.92)];
    for (const places of [
      [...front.slice(0, 1), ...back.slice(0, 1)],
      [...front, ...back.slice(0, 1)],
      [...front.slice(0, 1), ...back],
      [...front, ...back],
    ]) {
      expect(watch(places, 18).told).toEqual([]);
    }
  });

  it('any share of the published differences, by any number of probes', () => {
    const share = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(fc.array(share, { minLength: 2, maxLength: 4 }), (shares) => {
        expect(
          watch(
            shares.map((each) => apart(PUBLISHED, each)),
            18,
          ).told,
        ).toEqual([]);
      }),
      { numRuns: 12 },
    );
  });

  it('dips by salt, larger at one place', () => {
    // 20 to 50 °F a charge (common practice, no source), every 12 min, through two hours.
    const salted =
      (of: Place, dipC: number): Place =>
      (hours) => {
        const sinceMin = (hours * 60) % 12;
        const dip = hours > 15.5 && hours < 17.5 ? dipC * Math.exp(-sinceMin / 4) : 0;
        return (of(hours) ?? 0) - dip;
      };
    expect(watch([salted(place(0), 28), salted(place(10), 10), salted(place(-15), 8)], 19).told).toEqual([]);
  });

  it('places of a closed kiln that cool at different rates', () => {
    const cools =
      (ratePerH: number): Place =>
      (hours) =>
        hours < 16 ? climb(hours) : 20 + (climb(16) - 20) * Math.exp(-ratePerH * (hours - 16));
    expect(watch([cools(0.1), cools(0.11), cools(0.2)], 30, 16).told).toEqual([]);
  });

  it('a place that a stoke reaches late: it comes back', () => {
    const late: Place = (hours) => (place(-10)(hours) ?? 0) - (hours > 9 && hours < 10 ? 45 : 0);
    expect(watch([place(0), place(10), late], 16).told).toEqual([]);
  });

  it('a slide that is usual for this kiln', () => {
    const swings: Place = (hours) => (place(0)(hours) ?? 0) + 45 * Math.sin((2 * Math.PI * hours) / 5);
    expect(watch([place(0), place(60), swings], 18).told).toEqual([]);
  });

  it('one probe alone, whatever it does', () => {
    expect(watch([drifting(place(0), -80, 8)], 16).told).toEqual([]);
  });
});

describe('a couple that drifts', () => {
  const neighbours = [place(0), place(12), place(60), place(72)];

  it.each([
    { what: 'low, one of three', count: 3, i: 0, rate: -45 },
    { what: 'low, another of three', count: 3, i: 1, rate: -60 },
    { what: 'high, one of three', count: 3, i: 1, rate: 45 },
    { what: 'low, one of four', count: 4, i: 2, rate: -30 },
    { what: 'high, one of four', count: 4, i: 3, rate: 30 },
    { what: 'fast and high, one of four', count: 4, i: 0, rate: 70 },
  ])('is told: $what', ({ count, i, rate }) => {
    const places = neighbours.slice(0, count).map((each, k) => (k === i ? drifting(each, rate, 9) : each));
    const { told, watches } = watch(places, 15);
    expect(told).toEqual([`${i} drift ${rate < 0 ? 'down' : 'up'}`]);
    // It goes on to say how far it has slid, from where it was, within what the ripple leaves.
    expect(watches[i]?.told?.slideC).toBeGreaterThan(Math.min(4 * rate, 0) - 8);
    expect(watches[i]?.told?.slideC).toBeLessThan(Math.max(4 * rate, 0) + 8);
    expect(Math.abs(Number(watches[i]?.told?.slideC))).toBeGreaterThan(0.7 * Math.abs(4 * rate));
  });

  it('is found whichever way, for whichever probe, if it goes far', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 3 }),
        fc.constantFrom(-1, 1),
        fc.double({ min: 45, max: 80, noNaN: true }),
        fc.double({ min: 7, max: 11, noNaN: true }),
        (i, sign, rate, fromH) => {
          const places = neighbours.map((each, k) => (k === i ? drifting(each, sign * rate, fromH) : each));
          expect(watch(places, 16).told).toEqual([`${i} drift ${sign < 0 ? 'down' : 'up'}`]);
        },
      ),
      { numRuns: 20 },
    );
  });

  it('is told within two hours and a half of its beginning, at 45 °C/h', () => {
    const places = neighbours.map((each, k) => (k === 1 ? drifting(each, -45, 9) : each));
    expect(watch(places, 11.5).told).toEqual(['1 drift down']);
  });

  it('of two: the sinking one is named as one that may be wrong', () => {
    expect(watch([drifting(place(0), -60, 10), place(20)], 17).told).toEqual(['0 parts down']);
    expect(watch([place(0), drifting(place(20), 60, 10)], 17).told).toEqual(['0 parts down']);
  });

  it('of two, by less than places part: nothing is told', () => {
    expect(watch([drifting(place(0), -20, 9), place(0)], 12).told).toEqual([]);
  });

  it('that comes back, and stays back, is over', () => {
    const back: Place = (hours) => {
      const drift = -60 * Math.min(Math.max(hours - 9, 0), 2) + (hours > 12 ? 120 : 0);
      return climb(hours) + drift + ripple(hours);
    };
    expect(watch([back, place(12), place(60), place(72)], 14).told).toEqual(['0 drift down', '0 over']);
  });

  it('stays told when the kiln is closed', () => {
    const places = neighbours.map((each, k) => (k === 1 ? drifting(each, -45, 9) : each));
    expect(watch(places, 20, 13).told).toEqual(['1 drift down']);
  });

  it('is told across a silent link', () => {
    const silent =
      (of: Place): Place =>
      (hours) =>
        hours > 10 && hours < 10.5 ? null : of(hours);
    const places = neighbours.map((each, k) => silent(k === 1 ? drifting(each, -60, 9) : each));
    expect(watch(places, 14).told).toEqual(['1 drift down']);
  });
});

describe('a probe that was put back', () => {
  it('begins anew: what it was before is no measure of it', () => {
    const places = [place(0), place(12), place(60)];
    const watches = places.map(newDriftWatch);
    for (let minute = 0; minute <= 16 * 60; minute += 1) {
      const h = minute / 60;
      // Put back 70 °C lower, in another place.
      if (minute === 600) watches[0] = newDriftWatch();
      const moved = h < 10 ? 0 : 70;
      noteLevels(
        watches,
        places.map((each, i) => (each(h) ?? 0) - (i === 0 ? moved : 0)),
      );
      if (minute % BUCKET_MIN === 0) watchDrift(watches, 1, START_MS + minute * MINUTE_MS, true);
      expect(watches.map(({ told }) => told)).toEqual([null, null, null]);
    }
    expect(watches[0]?.levels.length).toBe(37);
  });
});

it('keeps three days and no more, and a silence counts as nothing seen', () => {
  const [one, other] = [newDriftWatch(), newDriftWatch()];
  noteLevels([one, other], [900, 900]);
  watchDrift([one, other], 1, START_MS, true);
  expect(one.levels).toEqual([null]);
  for (let minute = 0; minute < 10; minute += 1) noteLevels([one, other], [900 + minute, null]);
  watchDrift([one, other], 4, START_MS + HOUR_MS, true);
  expect(one.levels).toEqual([null, 904.5, null, null, null]);
  expect(other.levels).toEqual([null, null, null, null, null]);
  watchDrift([one, other], 10_000, START_MS + 70 * 24 * HOUR_MS, true);
  expect(one.levels).toHaveLength(432);
});
