/** An invented kiln with two probes, read each 10 s, for tests of the reducer. */
import type { CoreInput } from '../../collector/core/inputs.ts';
import type { RawValue } from '../../protocol/probes.ts';
import { HOUR_MS, helloOf, inputOf, probeOf, START_MS } from '../support/kiln.ts';

export const PERIOD_MS = 10_000;
export const LOW = probeOf('low');
export const HIGH = probeOf('high');
export const hello = (at = START_MS) => inputOf.hello(at, helloOf([LOW, HIGH], PERIOD_MS));

/** Readings each 10 s from `fromH` to `toH`; `values` by the hours since the start. */
export function readings(
  fromH: number,
  toH: number,
  values: (hours: number) => Record<string, RawValue>,
  periodMs = PERIOD_MS,
): CoreInput[] {
  const from = Math.round((fromH * HOUR_MS) / periodMs);
  const to = Math.round((toH * HOUR_MS) / periodMs);
  return Array.from({ length: to - from }, (_, i) => {
    const ms = (from + i + 1) * periodMs;
    return inputOf.reading(START_MS + ms, values(ms / HOUR_MS));
  });
}

export const rounded = (tempC: number): number => Math.round(tempC * 10) / 10;
/** A stoke each ten minutes takes some heat: common practice, no source. */
export const ripple = (hours: number): number => 8 * Math.sin(2 * Math.PI * 6 * hours);
/** Both probes at a straight climb with the ripple. */
export const climbing =
  (fromC: number, climbCPerH: number, sinceH = 0) =>
  (hours: number) => {
    const tempC = fromC + climbCPerH * (hours - sinceH) + ripple(hours);
    return { low: rounded(tempC - 5), high: rounded(tempC + 5) };
  };
export const atH = (hours: number): number => START_MS + Math.round(hours * HOUR_MS);
