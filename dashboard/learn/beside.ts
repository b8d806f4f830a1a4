/** What the panels of firings beside each other share, and what stands at a moment of each. Pure. */
import type { FiringFactsAnswer } from '../../protocol/firing-facts.ts';
import type { RecordedFiring } from '../../protocol/firing-record.ts';
import { HOUR_MS } from '../../protocol/units.ts';
import { countUpTo } from '../curve/columns.ts';

/** A firing that stands beside others: its record with the curve, and its figures. */
export interface Beside {
  record: RecordedFiring;
  answer: FiringFactsAnswer;
}

/** A little of the cooling shows how the top was left. */
const AFTER_CLOSING_MS = 3 * HOUR_MS;
const ROOM_C = 40;

export interface Scales {
  fromMs: number;
  toMs: number;
  lowC: number;
  highC: number;
}

/** Time since light-up and heat over all of them. `whole`: with the cooling. */
export function sharedScales(all: readonly Beside[], whole: boolean): Scales {
  let toMs = HOUR_MS;
  let highC = 100;
  for (const { record, answer } of all) {
    const { litAt, closedAt, topC } = answer.facts;
    if (litAt === null) continue;
    const last = record.curve.at.at(-1) ?? litAt;
    const end = whole || closedAt === null ? last : Math.min(last, closedAt + AFTER_CLOSING_MS);
    toMs = Math.max(toMs, end - litAt);
    highC = Math.max(highC, topC ?? 0);
  }
  return { fromMs: 0, toMs, lowC: 0, highC: highC + ROOM_C };
}

/** The row of the curve that stands at `atMs`, epoch ms; null where nothing was read within a quarter of an hour. */
export function rowAt({ record: { curve } }: Beside, atMs: number): number | null {
  const row = countUpTo(curve.at, atMs) - 1;
  const at = curve.at[row];
  return at === undefined || atMs - at > HOUR_MS / 4 || typeof curve.kiln[row] !== 'number' ? null : row;
}
