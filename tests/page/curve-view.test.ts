import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { moved, pinched, type Range, type Whole, zoomed } from '../../dashboard/curve/view.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import { allowedClimb } from '../../protocol/plan-limits.ts';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const ALL: Whole = { from: 0, newest: 100 * HOUR, to: 110 * HOUR };

/** What a range shows, without what is expected ahead. */
function shownBy(range: Range, all: Whole): { from: number; to: number } {
  if (range === 'whole') return { from: all.from, to: all.to };
  return 'lastMs' in range ? { from: all.newest - range.lastMs, to: all.newest } : range;
}

describe('looking closer', () => {
  it('keeps the moment under the hand where it is', () => {
    const shown = { from: 20 * HOUR, to: 40 * HOUR };
    expect(zoomed(shown, ALL, 25 * HOUR, 0.5)).toEqual({ from: 22.5 * HOUR, to: 32.5 * HOUR });
    expect(zoomed(shown, ALL, 40 * HOUR, 0.5)).toEqual({ from: 30 * HOUR, to: 40 * HOUR });
  });

  it('goes on with the newest once it reaches it, and is the whole once it holds it', () => {
    expect(zoomed({ from: 90 * HOUR, to: 100 * HOUR }, ALL, 100 * HOUR, 0.5)).toEqual({ lastMs: 5 * HOUR });
    expect(moved({ from: 80 * HOUR, to: 90 * HOUR }, ALL, 30 * HOUR)).toMatchObject({
      lastMs: expect.any(Number),
    });
    expect(zoomed({ from: 20 * HOUR, to: 90 * HOUR }, ALL, 50 * HOUR, 4)).toBe('whole');
  });

  it('keeps under two fingers what was under them', () => {
    // 1,000 px for 20 hours; the fingers stand on hours 24 and 28 and are drawn twice as far apart.
    const range = pinched({ from: 20 * HOUR, to: 40 * HOUR }, ALL, 1000, [200, 400], [100, 500]);
    expect(range).toEqual({ from: 23 * HOUR, to: 33 * HOUR });
  });

  it('never shows less than a minute nor anything before the beginning, by whatever hand', () => {
    const place = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(
        place,
        place,
        fc.double({ min: 0.01, max: 100, noNaN: true }),
        place,
        (a, b, factor, by) => {
          const shown = {
            from: Math.min(a, b) * 90 * HOUR,
            to: Math.max(a, b) * 90 * HOUR + 2 * MINUTE,
          };
          const at = shown.from + by * (shown.to - shown.from);
          const finger = (part: number) => part * 390;
          for (const range of [
            zoomed(shown, ALL, at, factor),
            moved(shown, ALL, (by - 0.5) * 300 * HOUR),
            pinched(shown, ALL, 390, [finger(a), finger(b)], [finger(by), finger(1 - by)]),
          ]) {
            const { from, to } = shownBy(range, ALL);
            expect(to - from).toBeGreaterThanOrEqual(MINUTE - 1e-3);
            expect(from).toBeGreaterThanOrEqual(ALL.from);
          }
        },
      ),
    );
  });
});

describe('the climbs that the plan allows', () => {
  const plan = defaultPlan();
  it.each([
    ['candling', 80, { leastCPerH: null, mostCPerH: 28 }],
    ['candling', 130, { leastCPerH: null, mostCPerH: 83 }],
    ['climbing', 500, { leastCPerH: 11, mostCPerH: 83 }],
    ['climbing', 900, { leastCPerH: 11, mostCPerH: null }],
    ['cooling', 573, { leastCPerH: -50, mostCPerH: null }],
    ['cooling', 400, null],
    ['salting', 1210, null],
  ] as const)('while %s at %i °C', (stage, tempC, allowed) => {
    expect(allowedClimb(plan, stage, tempC)).toEqual(allowed);
  });
});
