/** An invented evening at an invented kiln, for looking at the page and for its tests: nothing here was measured. */

import type {
  ActiveAlert,
  Curve,
  FiringSummary,
  LoggedEntry,
  RecordedFiring,
  StageSpan,
} from '../../protocol/firing-record.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import type { Stage } from '../../protocol/stages.ts';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
/** The fire of the invented firing was lit then. */
export const LIT_AT = Date.UTC(2031, 2, 8, 14, 0);

/** Hours in, and the kiln's mean at that hour, °C: straight lines between. */
const CLIMB: readonly [number, number][] = [
  [0, 14],
  [3, 110],
  [4, 150],
  [9, 720],
  [12, 1010],
  [12.6, 1012],
  [15.2, 1205],
  [17, 1262],
  [18, 1255],
  [20, 960],
  [40, 320],
  [70, 95],
];

export function kilnAt(at: number): number {
  const hours = (at - LIT_AT) / HOUR;
  for (let i = 1; i < CLIMB.length; i += 1) {
    const [h0, c0] = CLIMB[i - 1] ?? [0, 0];
    const [h1, c1] = CLIMB[i] ?? [1, 0];
    if (hours <= h1) return c0 + ((c1 - c0) * (hours - h0)) / (h1 - h0);
  }
  return 95;
}

export function climbAt(at: number): number {
  return (kilnAt(at + 5 * MINUTE) - kilnAt(at - 5 * MINUTE)) * 6;
}

/** Minutes between stokes at so many hours in. */
function intervalMs(at: number): number {
  const hours = (at - LIT_AT) / HOUR;
  if (hours > 17.6) return Number.POSITIVE_INFINITY;
  return (hours < 8 ? 24 : hours < 14 ? 12 : 6) * MINUTE;
}

export function stokesUntil(now: number): number[] {
  const stokes: number[] = [];
  for (let at = LIT_AT + 2 * MINUTE; at < now; at += intervalMs(at)) stokes.push(at);
  return stokes;
}

/** A probe's reading: the kiln's mean, its own place, and the dip and rise after each stoke. */
export function probeAt(at: number, place: number, stokes: readonly number[]): number {
  const last = stokes.findLast((stoke) => stoke <= at);
  const mean = kilnAt(at);
  const lively = Math.min(1, Math.max(0, (mean - 100) / 500));
  const since = last === undefined ? HOUR : at - last;
  const swing = -16 * Math.exp(-since / (2.5 * MINUTE)) + 7 * Math.sin(Math.min(since / (6 * MINUTE), 2));
  return Math.round((mean + place * (0.4 + lively) + swing * lively) * 10) / 10;
}

export const PROBES = [
  { name: 'front', couple: 'K', place: 22 },
  { name: 'back', couple: 'K', place: -26 },
  { name: 'top', couple: 'S', place: 4 },
] as const;

/** A quarter of an hour without any reading, hours in. */
const GAP = [10.4, 10.65] as const;

export function curveUntil(now: number, everyMs: number): Curve {
  const stokes = stokesUntil(now);
  const curve: Curve = { at: [], kiln: [], kilnClimbCPerH: [], kilnClimbSdCPerH: [], probes: [] };
  const columns = PROBES.map(({ name }) => ({ probe: name as string, tempC: [] as (number | null)[] }));
  for (let at = LIT_AT - 10 * MINUTE; at <= now; at += everyMs) {
    const hours = (at - LIT_AT) / HOUR;
    const gap = hours > GAP[0] && hours < GAP[1];
    curve.at.push(at);
    curve.kiln.push(gap ? null : Math.round(kilnAt(at) * 10) / 10);
    curve.kilnClimbCPerH.push(gap ? null : climbAt(at));
    curve.kilnClimbSdCPerH.push(gap ? null : 14);
    PROBES.forEach(({ place }, index) => {
      columns[index]?.tempC.push(gap ? null : probeAt(at, place, stokes));
    });
  }
  return { ...curve, probes: columns };
}

const STAGE_HOURS: readonly [number, Stage][] = [
  [-0.17, 'before'],
  [0, 'candling'],
  [4, 'climbing'],
  [15.4, 'salting'],
  [17, 'soak'],
  [18, 'cooling'],
];

export function stagesUntil(now: number): StageSpan[] {
  return STAGE_HOURS.map(([hours, stage]) => ({ from: LIT_AT + hours * HOUR, stage })).filter(
    ({ from }) => from <= now,
  );
}

function row(entry: number, at: number, log: string, json: Record<string, unknown> = {}): LoggedEntry {
  return {
    entry,
    id: `story-${entry}`,
    at,
    madeAt: at,
    who: entry % 7 === 0 ? 'Imke' : '',
    where: 'page',
    log,
    json,
    undone: false,
  };
}

export function logUntil(now: number): LoggedEntry[] {
  const events: [number, string, Record<string, unknown>][] = [
    [LIT_AT, 'light-up', {}],
    [LIT_AT + 4 * HOUR, 'damper', { open: 0.5 }],
    [LIT_AT + 9.2 * HOUR, 'weather', { note: 'wind from the west, light rain' }],
    [LIT_AT + 12.1 * HOUR, 'note', { note: 'raked the embers through the left box' }],
    [LIT_AT + 12.2 * HOUR, 'damper', { open: 0.75 }],
    [LIT_AT + 17 * HOUR, 'end-salt', {}],
    [LIT_AT + 18 * HOUR, 'clam-up', {}],
  ];
  stokesUntil(now).forEach((at, index) => {
    events.push([at, 'stoke', { hole: index % 2 === 0 ? 'left' : 'right' }]);
  });
  for (let index = 0; index < 78; index += 1)
    events.push([
      LIT_AT + 15.4 * HOUR + index * 1.2 * MINUTE,
      'salt',
      { hole: index % 2 === 0 ? 'left' : 'right', g: 292 },
    ]);
  for (const hours of [15.9, 16.4, 16.8])
    events.push([LIT_AT + hours * HOUR, 'draw', { thickness: hours < 16 ? 'thin' : 'good' }]);
  return events
    .filter(([at]) => at <= now)
    .sort(([a], [b]) => a - b)
    .map(([at, log, json], entry) => row(entry, at, log, json));
}

export function alertOf(
  name: ActiveAlert['name'],
  priority: ActiveAlert['priority'],
  raisedAt: number,
  text: string,
): ActiveAlert {
  return { id: `${name}//${raisedAt}`, name, probe: null, priority, raisedAt, text, acknowledged: null };
}

export const STALL_TEXT =
  'Standing still for 20 minutes. Embers may be choking the left box: rake through, and let it burn down before the next stoke.';

/** The record of the invented firing as it stands `hoursIn` after light-up, a row every `everyMs`. */
export function recordAt(hoursIn: number, everyMs = MINUTE): RecordedFiring {
  const now = LIT_AT + hoursIn * HOUR;
  const plan = defaultPlan();
  const stallAt = LIT_AT + 12.4 * HOUR;
  const stall = alertOf('stall', 'look-soon', stallAt, STALL_TEXT);
  const stallEnd = stallAt + 20 * MINUTE;
  const summary: FiringSummary = {
    id: '2031-03-08-long-meadow',
    name: 'Long Meadow, March',
    startedAt: LIT_AT - 10 * MINUTE,
    endedAt: null,
    topC: kilnAt(now),
    running: true,
  };
  return {
    firing: summary,
    probes: PROBES.map(({ name, couple }) => ({ name, couple })),
    firstPlan: plan,
    curve: curveUntil(now, everyMs),
    stages: stagesUntil(now),
    log: logUntil(now),
    alerts: now < stallAt ? [] : [{ alert: stall, clearedAt: now < stallEnd ? null : stallEnd }],
  };
}
