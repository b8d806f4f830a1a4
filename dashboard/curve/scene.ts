/** What the curve shows at a moment, and which stretch of time of it. Pure. */
import type { ActiveAlert } from '../../protocol/firing-record.ts';
import type { Plan } from '../../protocol/plan.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { type Entry, type Firing, litAt } from '../firing.ts';
import type { Columns } from './columns.ts';
import type { Range, Whole } from './view.ts';

const MINUTE = 60_000;

export interface Scene {
  columns: Columns;
  unit: TemperatureUnit;
  /** The stretch of time that is shown, epoch ms. */
  from: number;
  to: number;
  /** All that there is to show. */
  whole: Whole;
  /** Names of the lines that are switched off. */
  hidden: ReadonlySet<string>;
  plan: Plan;
  now: number;
  litAtMs: number | null;
  stages: Firing['stages'];
  stokes: { at: number; hole: 'left' | 'right' }[];
  salts: { at: number; hole: 'left' | 'right' }[];
  draws: number[];
  alerts: { at: number; priority: ActiveAlert['priority'] }[];
  /** Where the kiln is expected, from the newest heat on: epoch ms and °C, the 80 % interval and its middle. */
  fan: { at: number; lowC: number; midC: number; highC: number }[];
  saltingStartC: number | null;
  topC: number;
}

/** A firing that has only begun is drawn on this much time at the least. */
const LEAST_SPAN_MS = 10 * MINUTE;

function holeMarks(log: readonly Entry[], word: string): { at: number; hole: 'left' | 'right' }[] {
  return log
    .filter((row) => row.log === word && !row.undone)
    .map((row) => ({ at: row.at, hole: row.json.hole === 'right' ? 'right' : 'left' }));
}

/** The core's fan, drawn from the newest heat on: what it said of times that have passed by now is left out. */
function fanOf({ forecast }: Firing, { at, kiln }: Columns): Scene['fan'] {
  const last = kiln.findLastIndex((cell) => typeof cell === 'number');
  const [fromC, fromMs] = [kiln[last], at[last]];
  const fan = forecast?.fan;
  if (!fan || typeof fromC !== 'number' || fromMs === undefined) return [];
  const ahead = fan.aheadMs.flatMap((aheadMs, i) => {
    const [lowC, midC, highC] = [fan.lowC[i], fan.midC[i], fan.highC[i]];
    const when = fan.at + aheadMs;
    return when <= fromMs || lowC === undefined || midC === undefined || highC === undefined
      ? []
      : [{ at: when, lowC, midC, highC }];
  });
  return ahead.length === 0 ? [] : [{ at: fromMs, lowC: fromC, midC: fromC, highC: fromC }, ...ahead];
}

/** What is expected is a third of what is shown of the past: a quarter of the width. */
const AHEAD_SHARE = 1 / 3;

/** The scene of a moment. On a stretch of one's own what is expected takes no room. */
export function sceneOf(
  firing: Firing,
  log: readonly Entry[],
  columns: Columns,
  now: number,
  unit: TemperatureUnit,
  range: Range,
  hidden: ReadonlySet<string>,
): Scene {
  const first = columns.at[0] ?? now;
  const newest = Math.max(columns.at.at(-1) ?? now, first);
  const wholeMs = Math.max(newest - first, LEAST_SPAN_MS);
  const fan = fanOf(firing, columns);
  const aheadOf = (spanMs: number) =>
    Math.max(0, Math.min(spanMs * AHEAD_SHARE, (fan.at(-1)?.at ?? newest) - newest));
  const whole = { from: first, newest, to: first + wholeMs + aheadOf(wholeMs) };
  const shown =
    range === 'whole'
      ? whole
      : 'lastMs' in range
        ? { from: newest - range.lastMs, to: newest + aheadOf(range.lastMs) }
        : range;
  return {
    columns,
    unit,
    ...shown,
    whole,
    hidden,
    plan: firing.plan,
    now,
    litAtMs: litAt({ log: [...log], stages: firing.stages }),
    stages: firing.stages,
    stokes: holeMarks(log, 'stoke'),
    salts: holeMarks(log, 'salt'),
    draws: log.filter((row) => row.log === 'draw' && !row.undone).map(({ at }) => at),
    alerts: firing.alerts.map(({ alert }) => ({ at: alert.raisedAt, priority: alert.priority })),
    fan,
    saltingStartC: firing.plan.saltingStartC,
    topC: firing.plan.topC,
  };
}

/** Salting heat is shown from afar once it lies no further above the curve than half of what the curve spans. */
const NEAR_SALTING = 0.5;

/** Least and greatest temperature to show, °C, with room above for the stages' names. */
export function heightOf(scene: Scene, shownMin: number | null, shownMax: number | null): [number, number] {
  const low = shownMin ?? 0;
  const high = shownMax ?? 100;
  const salting = scene.saltingStartC ?? high;
  const near = salting - high < Math.max(NEAR_SALTING * (high - low), 30);
  const expected = scene.fan.filter(({ at }) => at <= scene.to).map(({ midC }) => midC);
  const top = Math.max(near ? Math.max(high, salting) : high, ...expected);
  const span = Math.max(top - low, 30);
  return [low - span * 0.04, top + span * 0.2];
}
