/** The truth of an invented firing: what no couple and no board can see, for tests that score what they make of it. */
import { ZONES, type Zone } from '../../collector/demo-kiln/chamber.ts';
import { type KilnSetting, kilnMeanC, kilnStep, openKiln } from '../../collector/demo-kiln/kiln.ts';
import type { Deed, Potter } from '../../collector/demo-kiln/potter-state.ts';

export interface TrueMinute {
  /** Minutes since the start. */
  minute: number;
  /** Noise-free mean of the four places, averaged over the minute; the places and the stage at its end. */
  meanC: number;
  placeC: Record<Zone, number>;
  stage: Potter['stage'];
  /** Slope of `meanC` smoothed by a centred biweight kernel of ±32 min; NaN within 32 min of either end. */
  climbCPerH: number;
}

export interface TrueFiring {
  minutes: TrueMinute[];
  /** Everything that the potter did, in seconds since the start. */
  deeds: { atS: number; deed: Deed }[];
  /** When each trouble of the script began, in seconds since the start, or null. */
  troublesS: (number | null)[];
  /** Noise-free place and lagged tip, each second, mean of the four. */
  placeC: number[];
  tipC: Record<Zone, number[]>;
}

const KERNEL_MIN = 32;

/** Runs a kiln for `hours` at steps of a second. */
export function trueFiring(setting: KilnSetting, hours: number): TrueFiring {
  const kiln = openKiln(setting);
  const tipC: Record<Zone, number[]> = { 'front-low': [], 'front-high': [], 'back-low': [], 'back-high': [] };
  const firing: TrueFiring = { minutes: [], deeds: [], troublesS: [], placeC: [], tipC };
  for (let second = 1; second <= hours * 3600; second++) {
    for (const deed of kilnStep(kiln, 1)) firing.deeds.push({ atS: second, deed });
    firing.placeC.push(kilnMeanC(kiln));
    for (const zone of ZONES) tipC[zone].push(kiln.tipC[zone]);
    if (second % 60 !== 0) continue;
    const meanC = firing.placeC.slice(-60).reduce((sum, tempC) => sum + tempC, 0) / 60;
    firing.minutes.push({
      minute: second / 60,
      meanC,
      placeC: { ...kiln.placeC },
      stage: kiln.potter.stage,
      climbCPerH: Number.NaN,
    });
  }
  firing.troublesS = kiln.troubles.map(({ sinceS }) => sinceS);
  const climbs = trueClimbs(firing.minutes.map(({ meanC }) => meanC));
  firing.minutes.forEach((minute, i) => {
    minute.climbCPerH = climbs[i] ?? Number.NaN;
  });
  return firing;
}

/** The true climb, °C/h, of means of a minute each; NaN within 33 min of either end. */
export function trueClimbs(meansC: readonly number[]): number[] {
  const smoothC = biweight(meansC);
  return smoothC.map((_, i) => (((smoothC[i + 1] ?? Number.NaN) - (smoothC[i - 1] ?? Number.NaN)) / 2) * 60);
}

function biweight(values: readonly number[]): number[] {
  const weights = Array.from(
    { length: 2 * KERNEL_MIN + 1 },
    (_, i) => (1 - ((i - KERNEL_MIN) / KERNEL_MIN) ** 2) ** 2,
  );
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return values.map((_, i) => {
    if (i < KERNEL_MIN || i + KERNEL_MIN >= values.length) return Number.NaN;
    return weights.reduce((sum, weight, k) => sum + weight * (values[i + k - KERNEL_MIN] ?? 0), 0) / total;
  });
}

/** Stretches of the true stage `climbing` whose true climb is below `belowCPerH`, in minutes. */
export function trueStalls(firing: TrueFiring, belowCPerH = 11): { from: number; to: number; atC: number }[] {
  const stalls: { from: number; to: number; atC: number }[] = [];
  let open: { from: number; to: number; atC: number } | null = null;
  for (const { minute, stage, climbCPerH, meanC } of firing.minutes) {
    if (stage === 'climbing' && climbCPerH < belowCPerH) {
      if (open) open.to = minute;
      else {
        open = { from: minute, to: minute, atC: meanC };
        stalls.push(open);
      }
    } else open = null;
  }
  return stalls;
}
