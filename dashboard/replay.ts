/** A recorded firing as it stood at any moment of it: the same parts of the page show it as show a live one. */

import { type Measured, newMeasured, noteMeasured } from '../collector/core/measured.ts';
import { lotHeat, PEAK_LOOK_BACK_MS, saltCount } from '../collector/core/salting-facts.ts';
import type { RecordedFiring } from '../protocol/firing-record.ts';
import { presentPlan } from '../protocol/plan-in-log.ts';
import { countUpTo } from './curve/columns.ts';
import { type Firing, NO_KILN, silentProbe } from './firing.ts';
import { chargesIn } from './salt.ts';

/** A probe that has said nothing for so long is not counted. */
const SILENT_MS = 60_000;

/** First and last moment of a record, epoch ms; null where nothing was recorded. */
export function spanOf(record: RecordedFiring): { from: number; to: number } | null {
  const times = [
    ...record.curve.at.slice(0, 1),
    ...record.curve.at.slice(-1),
    ...record.log.map(({ at }) => at),
    ...record.stages.slice(-1).map(({ from }) => from),
  ];
  if (times.length === 0) return null;
  return { from: Math.min(...times), to: Math.max(...times) };
}

/**
 * The firing at `nowMs` (epoch ms). Figures are those of the newest recorded row; a row of nulls is a gap and shows
 * none. Cones and forecasts are not in the record. An entry shows from when it happened; an undone one never did.
 */
export function firingAt(record: RecordedFiring, nowMs: number): Firing {
  const { curve } = record;
  const row = countUpTo(curve.at, nowMs) - 1;
  const at = curve.at[row] ?? null;
  const stages = record.stages.filter(({ from }) => from <= nowMs);
  const couples = new Map(record.probes.map(({ name, couple }) => [name, couple]));
  const log = record.log.filter((entry) => entry.at <= nowMs && entry.log !== 'undo');
  const plan = presentPlan(record.firstPlan, log);
  const lot = saltCount(chargesIn(log), [], plan, nowMs).lots.at(-1);
  return {
    summary: record.firing,
    firstPlan: record.firstPlan,
    plan,
    probes: curve.probes.map(({ probe, tempC }) => ({
      ...silentProbe(probe, couples.get(probe) ?? null),
      at,
      tempC: tempC[row] ?? null,
    })),
    kiln:
      row < 0
        ? NO_KILN
        : {
            smoothC: curve.kiln[row] ?? null,
            climbCPerH: curve.kilnClimbCPerH[row] ?? null,
            climbSdCPerH: curve.kilnClimbSdCPerH[row] ?? null,
          },
    stage: stages.at(-1)?.stage ?? 'before',
    stages,
    log,
    alerts: record.alerts
      .filter(({ alert }) => alert.raisedAt <= nowMs)
      .map(({ alert, clearedAt }) => {
        const heard = alert.acknowledged !== null && alert.acknowledged.at <= nowMs;
        const { text, raisedText = text } = alert;
        const then = { text: raisedText, shelved: null, suppressed: false, easing: false };
        return {
          alert: { ...alert, ...then, acknowledged: heard ? alert.acknowledged : null },
          clearedAt: clearedAt !== null && clearedAt <= nowMs ? clearedAt : null,
        };
      }),
    forecast: null,
    stoking: null,
    earlierLots: [],
    saltHeat:
      lot === undefined
        ? null
        : lotHeat(measuredIn(record, plan.guide, { from: lot - PEAK_LOOK_BACK_MS, to: nowMs }), lot, nowMs),
    lastReadingAt: at,
  };
}

/** The kiln's heat as it was measured: the guide's while it has one, else the mean of all that have. */
function measuredIn(
  { curve }: RecordedFiring,
  guide: string | null,
  { from, to }: { from: number; to: number },
): Measured {
  const measured = newMeasured();
  const speaking = curve.probes.filter(({ probe }) => probe === guide);
  const columns = speaking.length > 0 ? speaking : curve.probes;
  // Boards that are read in turn leave each other's cells empty: a probe counts until it has said nothing for a minute.
  const last = columns.map(() => ({ at: Number.NEGATIVE_INFINITY, tempC: 0 }));
  for (let row = countUpTo(curve.at, from); row < countUpTo(curve.at, to); row += 1) {
    const at = curve.at[row] ?? 0;
    columns.forEach(({ tempC }, index) => {
      const cell = tempC[row];
      if (typeof cell === 'number') last[index] = { at, tempC: cell };
    });
    const heard = last.filter((each) => at - each.at <= SILENT_MS);
    const sumC = heard.reduce((sum, { tempC }) => sum + tempC, 0);
    noteMeasured(measured, at, heard.length > 0 ? sumC / heard.length : null);
  }
  return measured;
}

/** Where a replay stands: at a moment, playing so many firing seconds a second, or still. */
export interface Player {
  at: number;
  from: number;
  to: number;
  speed: number;
  playing: boolean;
}

export const SPEEDS = [60, 300, 1200, 3600] as const;

/** A player at the end, where the whole firing is to be seen, not yet playing: it plays from the beginning. */
export function newPlayer(span: { from: number; to: number }): Player {
  return { at: span.to, from: span.from, to: span.to, speed: 300, playing: false };
}

/** Moves on by so much wall time; stops at the end. */
export function playOn(player: Player, wallMs: number): Player {
  if (!player.playing) return player;
  const at = Math.min(player.to, player.at + wallMs * player.speed);
  return { ...player, at, playing: at < player.to };
}
