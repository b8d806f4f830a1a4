/**
 * The stage of the firing: from what was logged, and from the temperature alone where nobody logs. It goes forward; back
 * only when the entry that moved it is undone.
 */
import type { KnownLogEntry } from '../../protocol/log-entries.ts';
import type { Plan } from '../../protocol/plan.ts';
import type { Stage } from '../../protocol/stages.ts';
import type { Salt } from './log-book.ts';

const MINUTE_MS = 60_000;
/** Light-up seen in the temperature: so far above the first reading. */
const LIT_ABOVE_FIRST_C = 20;
/** Candling ends here. */
const CLIMBING_FROM_C = 150;
/** The salt is in, and none has gone in for so long: soaking. */
const SOAK_AFTER_SALT_MS = 20 * MINUTE_MS;
/** Cooling seen in the temperature: hotter than this, and so fast downward for so long with no stoke. */
const COOLING_ABOVE_C = 1000;
const COOLING_CLIMB_C_PER_H = -25;
const COOLING_AFTER_MS = 90 * MINUTE_MS;

export interface StageState {
  stage: Stage;
  since: number;
  firstC: number | null;
  /** Since when and from what heat the kiln has been cooling fast, or null. */
  fall: { since: number; fromC: number } | null;
  /** The planned hold that is on, by its place in the plan, and since when. */
  plannedHold: { index: number; since: number } | null;
  holdsDone: number[];
  /** What each logged move came from, so that an undo can take it back. */
  moves: { id: string; from: Stage; to: Stage }[];
}

export function newStage(at: number): StageState {
  return {
    stage: 'before',
    since: at,
    firstC: null,
    fall: null,
    plannedHold: null,
    holdsDone: [],
    moves: [],
  };
}

/** What the stage is told at each tick. */
export interface StageFacts {
  at: number;
  smoothC: number | null;
  climbCPerH: number | null;
  /** The last stoke that was logged or seen in the signal, epoch ms. */
  stokedAt: number | null;
  salt: Salt;
  plan: Plan;
}

function moveTo(state: StageState, at: number, to: Stage): void {
  state.stage = to;
  state.since = at;
  state.fall = null;
}

/** The burning stage that the temperature alone speaks for: where a hold goes back to. */
function byHeat(smoothC: number | null): Stage {
  return smoothC !== null && smoothC < CLIMBING_FROM_C ? 'candling' : 'climbing';
}

/** Where an entry moves the stage to, or null. `salting` does not come back once the kiln is closed. */
function movedBy(stage: Stage, entry: KnownLogEntry, smoothC: number | null): Stage | null {
  switch (entry.log) {
    case 'light-up':
      return stage === 'before' ? 'candling' : null;
    case 'hold':
      if (entry.on) return stage === 'candling' || stage === 'climbing' ? 'hold' : null;
      return stage === 'hold' ? byHeat(smoothC) : null;
    case 'salt':
      return stage === 'cooling' || stage === 'open' ? null : 'salting';
    case 'end-salt':
      return stage === 'salting' ? 'soak' : null;
    case 'clam-up':
      return stage === 'open' ? null : 'cooling';
    case 'unbricked':
      return 'open';
    default:
      return null;
  }
}

/** Takes a log entry; `undone` is the entry that an undo took out of the book. */
export function stageLogged(
  state: StageState,
  at: number,
  entry: KnownLogEntry,
  undone: KnownLogEntry | null,
  smoothC: number | null,
): void {
  if (entry.log === 'undo') {
    const move = state.moves.at(-1);
    if (undone && move && move.id === undone.id && move.to === state.stage) {
      state.moves.pop();
      moveTo(state, at, move.from);
    }
    return;
  }
  const to = movedBy(state.stage, entry, smoothC);
  if (to === null || to === state.stage) return;
  if (entry.id !== undefined) state.moves.push({ id: entry.id, from: state.stage, to });
  state.plannedHold = null;
  moveTo(state, at, to);
}

/** Moves the stage by temperature and time. */
export function stageTick(state: StageState, facts: StageFacts): void {
  const { at, smoothC } = facts;
  if (smoothC !== null && state.firstC === null) state.firstC = smoothC;
  if (
    state.stage === 'before' &&
    smoothC !== null &&
    state.firstC !== null &&
    smoothC >= state.firstC + LIT_ABOVE_FIRST_C
  ) {
    moveTo(state, at, 'candling');
  }
  if (state.stage === 'candling' && smoothC !== null && smoothC >= CLIMBING_FROM_C)
    moveTo(state, at, 'climbing');
  plannedHolds(state, facts);
  const { lastAt, inKg, startedAt } = facts.salt;
  const saltIn = startedAt !== null && inKg >= facts.plan.saltKg - 1e-9;
  if (state.stage === 'salting' && saltIn && lastAt !== null && at - lastAt >= SOAK_AFTER_SALT_MS)
    moveTo(state, at, 'soak');
  coolingByItself(state, facts);
}

function plannedHolds(state: StageState, { at, smoothC, plan }: StageFacts): void {
  const hold = state.plannedHold;
  if (hold && state.stage === 'hold') {
    const minutes = plan.holds[hold.index]?.minutes ?? 0;
    if (at - hold.since < minutes * MINUTE_MS) return;
    state.plannedHold = null;
    moveTo(state, at, byHeat(smoothC));
    return;
  }
  if ((state.stage !== 'candling' && state.stage !== 'climbing') || smoothC === null) return;
  const index = plan.holds.findIndex(
    (each, place) => smoothC >= each.atC && !state.holdsDone.includes(place),
  );
  if (index < 0) return;
  state.holdsDone.push(index);
  state.plannedHold = { index, since: at };
  moveTo(state, at, 'hold');
}

/** Nobody logged that the kiln was closed: it is seen when it cools for long and nobody stokes. */
function coolingByItself(state: StageState, { at, smoothC, climbCPerH, stokedAt }: StageFacts): void {
  const burning =
    state.stage === 'climbing' ||
    state.stage === 'hold' ||
    state.stage === 'salting' ||
    state.stage === 'soak';
  if (!burning || smoothC === null || climbCPerH === null || climbCPerH >= COOLING_CLIMB_C_PER_H) {
    state.fall = null;
    return;
  }
  state.fall ??= { since: at, fromC: smoothC };
  const since = Math.max(state.fall.since, stokedAt ?? 0);
  if (at - since >= COOLING_AFTER_MS && state.fall.fromC > COOLING_ABOVE_C) moveTo(state, at, 'cooling');
}
