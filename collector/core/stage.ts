/**
 * The stage of the firing: from what was logged, and from the temperature alone where nobody logs. It goes forward; back
 * only when the entry that moved it is undone. Its heats and spans are our own choice.
 */
import { isSaltIn } from '../../alerts/salt-in.ts';
import type { KnownLogEntry } from '../../protocol/log-entries.ts';
import type { Plan } from '../../protocol/plan.ts';
import { isBurning, type Stage } from '../../protocol/stages.ts';
import { MINUTE_MS } from '../../protocol/units.ts';
import type { Salt } from './log-book.ts';

/** Light-up seen in the temperature: so far above the first reading. So far below it, that reading was none. */
const LIT_ABOVE_FIRST_C = 20;
/** Candling ends here. */
export const CLIMBING_FROM_C = 150;
/** A planned hold so far below the present heat was passed before anybody looked. */
const HOLD_PASSED_C = 30;
/** The salt is in, and none has gone in for so long: soaking. */
const SOAK_AFTER_SALT_MS = 20 * MINUTE_MS;
/** Cooling seen in the temperature: hotter than this, and so fast downward for so long with no stoke. */
const COOLING_ABOVE_C = 1000;
const COOLING_CLIMB_C_PER_H = -25;
const COOLING_AFTER_MS = 90 * MINUTE_MS;

export interface StageState {
  stage: Stage;
  firstC: number | null;
  /** When the last hold ended. */
  heldUntil: number;
  /** Since when and from what heat the kiln has been cooling fast, or null. */
  fall: { since: number; fromC: number } | null;
  /** The planned hold that is on, by its heat, and since when. */
  plannedHold: { atC: number; since: number } | null;
  /** Planned holds that are over, by their heat. */
  holdsDone: number[];
  /** What each logged move came from, so that an undo can take it back. */
  moves: Move[];
}

/** `entries`: what speaks for the move; it is taken back when the last of them is undone. */
interface Move {
  entries: (string | null)[];
  from: Stage;
  to: Stage;
  plannedHold: StageState['plannedHold'];
}

export function newStage(): StageState {
  return {
    stage: 'before',
    firstC: null,
    heldUntil: Number.NEGATIVE_INFINITY,
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
  if (state.stage === 'hold') state.heldUntil = at;
  state.stage = to;
  state.fall = null;
}

/** The burning stage that the temperature alone speaks for: where a hold goes back to. */
function byHeat(smoothC: number | null): Stage {
  return smoothC !== null && smoothC < CLIMBING_FROM_C ? 'candling' : 'climbing';
}

/** The stage that an entry speaks for, or null. `salting` does not come back once the kiln is closed. */
function spokenForBy(stage: Stage, entry: KnownLogEntry, smoothC: number | null): Stage | null {
  switch (entry.log) {
    case 'light-up':
      return stage === 'before' || stage === 'candling' ? 'candling' : null;
    case 'hold':
      if (entry.on) return stage === 'candling' || stage === 'climbing' || stage === 'hold' ? 'hold' : null;
      return stage === 'hold' ? byHeat(smoothC) : null;
    case 'salt':
      return stage === 'cooling' || stage === 'open' ? null : 'salting';
    case 'end-salt':
      return isBurning(stage) ? 'soak' : null;
    case 'clam-up':
      return stage === 'open' ? null : 'cooling';
    case 'unbricked':
      return 'open';
    default:
      return null;
  }
}

/** Takes a log entry; `undone` is the entry that an undo took out of the book, or that this one mends. */
export function stageLogged(
  state: StageState,
  at: number,
  entry: KnownLogEntry,
  undone: KnownLogEntry | null,
  smoothC: number | null,
): void {
  if (entry.log === 'undo') {
    if (undone) takeBack(state, at, undone.id ?? entry.id);
    return;
  }
  if (undone && saysTheSame(entry, undone)) {
    putInPlace(state, undone.id ?? null, entry.id ?? null);
    return;
  }
  if (undone?.id !== undefined) takeBack(state, at, undone.id);
  const to = spokenForBy(state.stage, entry, smoothC);
  if (to === null) return;
  const id = entry.id ?? null;
  const { stage: from, plannedHold } = state;
  const last = state.moves.at(-1);
  if (to === from && last?.to === to && plannedHold === null) {
    last.entries.push(id);
    return;
  }
  state.moves.push({ entries: [id], from, to, plannedHold });
  state.plannedHold = null;
  if (to !== from) moveTo(state, at, to);
}

/** Whether a mended entry speaks for the same stage. */
function saysTheSame(entry: KnownLogEntry, before: KnownLogEntry): boolean {
  return entry.log !== 'hold' || (before.log === 'hold' && before.on === entry.on);
}

/** What the mended entry spoke for, the one in its place speaks for. */
function putInPlace({ moves }: StageState, before: string | null, now: string | null): void {
  const move = moves.findLast(({ entries }) => entries.includes(before));
  if (move) move.entries[move.entries.indexOf(before)] = now;
}

/** An entry is undone: the move that it alone spoke for is taken back, if the stage is still where that led to. */
function takeBack(state: StageState, at: number, id: string): void {
  const place = state.moves.findLastIndex(({ entries }) => entries.includes(id));
  const move = state.moves[place];
  if (!move) return;
  move.entries.splice(move.entries.indexOf(id), 1);
  if (move.entries.length > 0) return;
  state.moves.splice(place, 1);
  const next = state.moves[place];
  if (!next && move.to === state.stage) {
    state.plannedHold = move.plannedHold;
    if (move.from !== state.stage) moveTo(state, at, move.from);
  } else if (next?.from === move.to) {
    next.from = move.from;
    next.plannedHold = move.plannedHold;
  }
}

/** Moves the stage by temperature and time. */
export function stageTick(state: StageState, facts: StageFacts): void {
  const { at, smoothC } = facts;
  if (smoothC !== null && (state.firstC === null || smoothC < state.firstC - LIT_ABOVE_FIRST_C))
    state.firstC = smoothC;
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
  const saltIn = startedAt !== null && isSaltIn(inKg, facts.plan.saltKg);
  if (state.stage === 'salting' && saltIn && lastAt !== null && at - lastAt >= SOAK_AFTER_SALT_MS)
    moveTo(state, at, 'soak');
  coolingByItself(state, facts);
}

function plannedHolds(state: StageState, { at, smoothC, plan }: StageFacts): void {
  const hold = state.plannedHold;
  if (hold && state.stage === 'hold') {
    const minutes = plan.holds.find(({ atC }) => atC === hold.atC)?.minutes ?? 0;
    if (at - hold.since < minutes * MINUTE_MS) return;
    state.plannedHold = null;
    moveTo(state, at, byHeat(smoothC));
    return;
  }
  if ((state.stage !== 'candling' && state.stage !== 'climbing') || smoothC === null) return;
  for (const { atC } of plan.holds) {
    if (smoothC < atC || state.holdsDone.includes(atC)) continue;
    state.holdsDone.push(atC);
    if (smoothC >= atC + HOLD_PASSED_C) continue;
    state.plannedHold = { atC, since: at };
    moveTo(state, at, 'hold');
    return;
  }
}

/** Nobody logged that the kiln was closed: it is seen when it cools for long and nobody stokes. */
function coolingByItself(state: StageState, { at, smoothC, climbCPerH, stokedAt }: StageFacts): void {
  const burning = isBurning(state.stage);
  // A gap in the readings says nothing: the fall is neither over nor long enough.
  if (burning && (smoothC === null || climbCPerH === null)) return;
  if (!burning || smoothC === null || climbCPerH === null || climbCPerH >= COOLING_CLIMB_C_PER_H) {
    state.fall = null;
    return;
  }
  state.fall ??= { since: at, fromC: smoothC };
  const since = Math.max(state.fall.since, stokedAt ?? 0);
  if (at - since >= COOLING_AFTER_MS && state.fall.fromC > COOLING_ABOVE_C) moveTo(state, at, 'cooling');
}
