/** A kiln at arm's length for tests of the core and of the alerts: inputs put in by hand, times in seconds and minutes. */

import { type AlertChange, type AlertLives, advanceAlerts, type Fresh } from '../../alerts/life.ts';
import type { Rule } from '../../alerts/rule.ts';
import type { BoardView, KilnView, ProbeView } from '../../alerts/view.ts';
import type { AlertOutput, CoreInput, CoreOutput, ReadingOutput } from '../../collector/core/inputs.ts';
import { type FiringState, newFiring } from '../../collector/core/state.ts';
import { step } from '../../collector/core/step.ts';
import type { Hello } from '../../protocol/board-lines.ts';
import { type LogEntry, parseLogEntry } from '../../protocol/log-entries.ts';
import { type Plan, planSchema } from '../../protocol/plan.ts';
import type { ProbeSpec, RawValue } from '../../protocol/probes.ts';

/** Whole second, so that ticks fall on whole seconds after it. */
export const START_MS = Date.UTC(2031, 2, 8, 5);
export const SECOND_MS = 1000;
export const MINUTE_MS = 60_000;
export const HOUR_MS = 3_600_000;

export function planOf(changes: Record<string, unknown> = {}): Plan {
  return planSchema.parse(changes);
}

export function entryOf(entry: Record<string, unknown>): LogEntry {
  const parsed = parseLogEntry(entry);
  if (!parsed?.known) throw new Error(`no log entry that is known: ${JSON.stringify(entry)}`);
  return parsed;
}

/** A probe that gives °C as they are. */
export const probeOf = (name: string, couple: ProbeSpec['couple'] = 'K'): ProbeSpec => ({
  name,
  couple,
  form: { kind: 'deg' },
});

export function helloOf(probes: ProbeSpec[], periodMs = 10_000, board = 'shed-1'): Hello {
  return { board, boot: '9F00C2A1', periodMs, keeps: 3600, probes };
}

/** The inputs of a firing, made one by one; times are epoch ms. */
export const inputOf = {
  hello: (at: number, hello: Hello): CoreInput => ({ kind: 'hello', at, hello }),
  reading: (at: number, values: Record<string, RawValue>, late = false, board = 'shed-1'): CoreInput => ({
    kind: 'reading',
    at,
    board,
    boot: '9F00C2A1',
    seq: Math.max(0, Math.round((at - START_MS) / SECOND_MS)),
    uptimeMs: Math.max(0, at - START_MS),
    coldJunctionC: 25,
    values: Object.entries(values).map(([probe, raw]) => ({ probe, raw })),
    late,
  }),
  log: (at: number, entry: Record<string, unknown>): CoreInput => ({ kind: 'log', at, log: entryOf(entry) }),
  tick: (at: number): CoreInput => ({ kind: 'tick', at }),
};

export interface Fed {
  state: FiringState;
  outputs: CoreOutput[];
}

/** Puts inputs into a firing, a fresh one unless told. */
export function feed(inputs: readonly CoreInput[], state: FiringState = newFiring(planOf())): Fed {
  const outputs: CoreOutput[] = [];
  let now = state;
  for (const input of inputs) {
    const stepped = step(now, input);
    now = stepped.state;
    outputs.push(...stepped.outputs);
  }
  return { state: now, outputs };
}

export const alertsIn = (outputs: readonly CoreOutput[]): AlertOutput[] =>
  outputs.flatMap((output) => (output.kind === 'alert' ? [output] : []));

export const readingsIn = (outputs: readonly CoreOutput[]): ReadingOutput[] =>
  outputs.flatMap((output) => (output.kind === 'reading' ? [output] : []));

/** `stall raised`, `probe-fault cleared high` and the like, each with its minutes since the start. */
export const toldIn = (outputs: readonly CoreOutput[]): string[] =>
  alertsIn(outputs).map(
    ({ name, state, probe, at }) =>
      `${((at - START_MS) / MINUTE_MS).toFixed(1)} ${name} ${state}${probe === null ? '' : ` ${probe}`}`,
  );

/** The same without the calls to stoke, which a kiln that is fired makes at each peak of its heat. */
export const toldBesideStokes = (outputs: readonly CoreOutput[]): string[] =>
  toldIn(outputs).filter((told) => !told.includes('stoke-due'));

/** The stages gone through, the first one included. */
export const stagesIn = (outputs: readonly CoreOutput[]): string[] =>
  outputs.flatMap((output) => (output.kind === 'stage' ? [output.to] : []));

export const boardView = (changes: Partial<BoardView> = {}): BoardView => ({
  board: 'shed-1',
  periodMs: 1000,
  lastReadingAt: START_MS,
  coldJunctionC: 30,
  coldDoubt: null,
  ...changes,
});

export const probeView = (changes: Partial<ProbeView> = {}): ProbeView => ({
  probe: 'low',
  working: true,
  pulled: false,
  smoothC: 900,
  nearLimitC: 1352,
  fault: null,
  doubt: null,
  ...changes,
});

/** What a rule may be shown: parts of a view, and of the kiln and the plan in it. */
export interface Shown extends Partial<Omit<KilnView, 'kiln' | 'plan' | 'salt' | 'stoke'>> {
  kiln?: Partial<KilnView['kiln']>;
  plan?: Record<string, unknown>;
  salt?: Partial<KilnView['salt']>;
  stoke?: Partial<KilnView['stoke']>;
}

/** A kiln that climbs well at 900 °C, but for what is told. */
export function viewOf(shown: Shown = {}, at = START_MS): KilnView {
  const { kiln, plan, salt, stoke, ...rest } = shown;
  return {
    at,
    stage: 'climbing',
    probes: [probeView(), probeView({ probe: 'high', smoothC: 950 })],
    boards: [boardView({ lastReadingAt: at })],
    hotForMs: 0,
    sinceHoldMs: Number.POSITIVE_INFINITY,
    noCoupleLeft: false,
    toSaltingMs: null,
    draws: 0,
    damperAt: null,
    still: { stands: { sure: false, forMs: 0 }, falls: { sure: false, forMs: 0 } },
    archiveTrouble: null,
    phoneTrouble: null,
    ...rest,
    plan: planOf(plan),
    kiln: {
      smoothC: 900,
      climbCPerH: 60,
      climbSdCPerH: 20,
      shownCPerH: 60,
      coneValue: -9,
      mostConeValue: -9,
      ...kiln,
    },
    salt: { inKg: 0, startedAt: null, lastAt: null, ended: false, ...salt },
    stoke: {
      lastAt: null,
      medianIntervalMs: null,
      logged: false,
      peakedAt: null,
      ...stoke,
    },
  };
}

/** A kiln that stays as it is shown for so many seconds. */
export interface Span {
  forS: number;
  shown: Shown | ((at: number) => Shown);
}

/** Puts a rule to the kiln each second; the changes, `at` in seconds from the first look. */
export function watch(
  rule: Rule,
  spans: readonly Span[],
  eases: (easing: boolean, second: number) => void = () => undefined,
): AlertChange[] {
  const lives: AlertLives = new Map();
  const changes: AlertChange[] = [];
  let second = 0;
  let eased = false;
  for (const { forS, shown } of spans) {
    for (let left = forS; left > 0; left -= 1) {
      const at = START_MS + second * SECOND_MS;
      const view = viewOf(typeof shown === 'function' ? shown(at) : shown, at);
      const now = second;
      const say = ({ easing }: Fresh) => {
        if (easing !== eased) eases(easing, now);
        eased = easing;
      };
      for (const change of advanceAlerts(lives, [rule], view, say)) {
        changes.push({ ...change, at: second });
        eased = false;
      }
      second += 1;
    }
  }
  return changes;
}

/** `120 raised`, `480 cleared`: seconds from the first look. */
export const turns = (changes: readonly AlertChange[]): string[] =>
  changes.map(({ at, state, probe }) => `${at} ${state}${probe === null ? '' : ` ${probe}`}`);
