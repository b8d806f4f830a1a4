import { describe, expect, it } from 'vitest';
import { convert } from '../../collector/core/couple/convert.ts';
import { type DemoProbe, type ProbeMishap, rawAt, readProbe } from '../../collector/demo-kiln/probes.ts';
import { openRandom } from '../../collector/demo-kiln/random.ts';
import { schedule } from '../../collector/demo-kiln/troubles.ts';
import type { RawValue } from '../../protocol/probes.ts';

const low: DemoProbe = {
  spec: { name: 'low', couple: 'K', form: { kind: 'deg' } },
  zone: 'front-low',
  noiseC: 0.5,
};

/** An hour of readings, one every 10 s, of a tip that climbs 60 °C/h; the mishap begins after 10 min. */
function anHour(
  what?: ProbeMishap['what'],
  minutes = 20,
): { minute: number; raw: RawValue; trueC: number }[] {
  const mishaps = schedule<ProbeMishap>(what ? [{ what, probe: 'low', from: { hour: 0 }, minutes }] : []);
  for (const mishap of mishaps) mishap.sinceS = 600;
  const random = openRandom(5, 'probe');
  let before: RawValue = null;
  return Array.from({ length: 360 }, (_, i) => {
    const [nowS, trueC] = [i * 10, 900 + i / 6];
    const going = nowS >= 600 ? mishaps : [];
    before = readProbe(low, trueC, 20, going, nowS, before, random);
    return { minute: nowS / 60, raw: before, trueC };
  });
}

const off = ({ raw, trueC }: { raw: RawValue; trueC: number }) =>
  typeof raw === 'number' ? raw - trueC : NaN;
const within =
  (from: number, to: number) =>
  ({ minute }: { minute: number }) =>
    minute >= from && minute < to;

describe('what a chip makes of a couple', () => {
  // Computed from the ITS-90 reference function (NIST SRD 60): a chip that takes type K as linear at 41.276 µV/°C, its
  // junction at 30 °C, shows 807.0 at 800 °C, 1000.8 at 1000, 1184.1 at 1200, 1236.4 at 1260. Such chips count in 0.25.
  it.each([
    [800, 807.0],
    [1000, 1000.8],
    [1200, 1184.1],
    [1260, 1236.4],
  ])('takes a type K at %i °C as linear for %f', (tempC, shownC) => {
    const form = { kind: 'lin', uvPerC: 41.276 } as const;
    const raw = rawAt({ name: 'a', couple: 'K', form }, tempC, 30);
    expect(Math.abs(Number(raw) - shownC)).toBeLessThan(0.18);
  });

  it.each(['B', 'E', 'J', 'K', 'N', 'R', 'S', 'T'] as const)(
    'is undone by the conversion, type %s',
    (couple) => {
      const forms = [{ kind: 'uv' }, { kind: 'deg' }, { kind: 'lin', uvPerC: 41.276 }] as const;
      for (const form of forms)
        for (const tempC of [290, 340, 395]) {
          const spec = { name: 'a', couple, form };
          const back = convert(spec, rawAt(spec, tempC, 22), 22);
          // A microvolt of type B at 290 °C is a third of a degree; a quarter degree of the chip is ten microvolts.
          const step = form.kind === 'lin' ? 4.6 : 0.25;
          expect(Math.abs((back.tempC ?? Number.NaN) - tempC)).toBeLessThan(step);
        }
    },
  );

  it('says that the couple is out of its range', () => {
    expect(rawAt({ name: 'a', couple: 'T', form: { kind: 'uv' } }, 900, 20)).toBe('!range');
  });
});

describe('a probe', () => {
  it('is noisy by as much as it is said to be', () => {
    const offs = anHour().map(off);
    const sd = Math.sqrt(offs.reduce((sum, value) => sum + value * value, 0) / offs.length);
    expect(sd).toBeGreaterThan(0.4);
    expect(sd).toBeLessThan(0.6);
  });

  it('opens: now and then at first, then for good', () => {
    const hour = anHour('opens');
    const opened = (from: number, to: number) => {
      const some = hour.filter(within(from, to));
      return some.filter(({ raw }) => raw === '!open').length / some.length;
    };
    expect(opened(0, 10)).toBe(0);
    expect(opened(10, 30)).toBeGreaterThan(0.2);
    expect(opened(10, 30)).toBeLessThan(0.6);
    expect(opened(30, 60)).toBe(1);
  });

  it('sticks, and comes free', () => {
    const hour = anHour('sticks');
    expect(new Set(hour.filter(within(10, 30)).map(({ raw }) => raw)).size).toBe(1);
    expect(Math.max(...hour.filter(within(30, 60)).map(off).map(Math.abs))).toBeLessThan(3.1);
  });

  it('spikes now and then, far off', () => {
    const spikes = anHour('spikes').filter((each) => Math.abs(off(each)) > 50);
    expect(spikes.length).toBeGreaterThan(1);
    expect(spikes.length).toBeLessThan(25);
    expect(spikes.every(within(10, 30))).toBe(true);
  });

  it('drifts low, and stays so', () => {
    const hour = anHour('drifts');
    const last = hour.filter(within(31, 60)).map(off);
    expect(Math.max(...last)).toBeLessThan(-9);
    expect(Math.min(...last)).toBeGreaterThan(-15.1);
  });
});
