/** What the panels of firings beside each other share, and what stands at a moment of each. Pure. */
import type { FiringFactsAnswer } from '../../protocol/firing-facts.ts';
import type { Curve, FiringSummary, RecordedFiring } from '../../protocol/firing-record.ts';
import { HOUR_MS } from '../../protocol/units.ts';
import { countUpTo } from '../curve/columns.ts';
import { type Place, sayClock, sayDate } from '../say.ts';

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

/** What is older than this says nothing of a moment. */
export const READ_WITHIN_MS = HOUR_MS / 4;

/** What stood at a moment: °C, and °C/h. */
export interface Read {
  kilnC: number;
  climbCPerH: number | null;
}

/**
 * What the kiln was read at `atMs`, epoch ms; null where nothing was read within a quarter of an hour. `curve` holds every
 * reading of that time: one that was thinned to be drawn holds the extremes of minutes, and others for each length of the
 * firing.
 */
export function readAt(curve: Curve, atMs: number): Read | null {
  const row = countUpTo(curve.at, atMs) - 1;
  const at = curve.at[row];
  const kilnC = curve.kiln[row];
  if (at === undefined || atMs - at > READ_WITHIN_MS || typeof kilnC !== 'number') return null;
  return { kilnC, climbCPerH: curve.kilnClimbCPerH[row] ?? null };
}

/** Each firing's name, by its id; with the day where another has the same name, and with the hour where that does not do. */
export function namesApart(
  firings: readonly Pick<FiringSummary, 'id' | 'name' | 'startedAt'>[],
  place: Place = {},
): (id: string) => string {
  const day = (at: number | null) => (at === null ? '' : sayDate(at, place));
  const ways: ((of: (typeof firings)[number]) => string)[] = [
    ({ name }) => name,
    ({ name, startedAt }) => `${name} (${day(startedAt)})`,
    ({ name, startedAt }) =>
      `${name} (${day(startedAt)}${startedAt === null ? '' : `, ${sayClock(startedAt, place)}`})`,
    ({ name, id }) => `${name} (${id})`,
  ];
  const alone = (of: (typeof firings)[number]) =>
    ways.find((way) => firings.filter((each) => way(each) === way(of)).length === 1) ?? ways[0];
  const names = new Map(firings.map((of) => [of.id, alone(of)?.(of) ?? of.name]));
  return (id) => names.get(id) ?? id;
}
