/**
 * The measuring core: one reducer over readings, log entries, hellos and ticks. Live watching, rerun, replay and picking
 * up again after a crash all run this, on the same inputs, and get the same answers.
 */
import { advanceAlerts } from '../../alerts/life.ts';
import { isAtSaltingHeat } from '../../alerts/may-stall.ts';
import { ALL_RULES } from '../../alerts/rules/all.ts';
import {
  type StandingChange,
  standingAfter,
  standingLogged,
  standingSays,
  standingTick,
  stateOf,
} from '../../alerts/standing.ts';
import type { KilnView } from '../../alerts/view.ts';
import type { KnownLogEntry } from '../../protocol/log-entries.ts';
import { MINUTE_MS } from '../../protocol/units.ts';
import { noteColdJunction } from './cold-junction.ts';
import { countSightings, seeCone, unseeCone } from './cones-seen.ts';
import { type KilnNow, kilnFigures, measuredC } from './figures.ts';
import { forecastAt, learnAhead, toSaltingAt } from './forecast/forecasts.ts';
import type { CoreInput, CoreOutput, KilnFigures, ProbeFigures, ReadingInput } from './inputs.ts';
import { kilnView } from './kiln-view.ts';
import { factsOf, isOvertaken, isPulled, planInBook, writeInBook } from './log-book.ts';
import { noteMeasured } from './measured.ts';
import { stokeFacts } from './next-stoke.ts';
import { restartProbe, workInLate } from './probe.ts';
import { forgetWatch, watchProbes } from './probe-watch.ts';
import { flagDrift, takeValue, watchTurns } from './reading.ts';
import { saltingNews } from './salting-figures.ts';
import { stageLogged, stageTick } from './stage.ts';
import { type FiringState, type ProbeState, takeHello } from './state.ts';
import { noteMinute } from './stoking.ts';
import { stokingNews } from './stoking-figures.ts';
import { turnsStoked } from './turns.ts';

export interface Stepped {
  state: FiringState;
  outputs: CoreOutput[];
}

/**
 * After a jump of the time longer than this only its first part is ticked through, and then its end: no delay of an alert
 * or a stage lasts longer.
 */
export const LONGEST_TICKED_S = 2 * 86_400;
const FORECAST_EVERY_MS = MINUTE_MS;
/** A stoke that is logged so late has had its dip. */
const STOKE_DIPS_MS = MINUTE_MS;

/**
 * One input. `input.at` must not go back (but for late readings); whole seconds in between are ticked first. The state
 * that is handed in is used up.
 */
export function step(state: FiringState, input: CoreInput): Stepped {
  const outputs: CoreOutput[] = [];
  const late = input.kind === 'reading' && input.late;
  if (!late) tickTo(state, input.at, outputs);
  switch (input.kind) {
    case 'hello':
      takeHello(state, input.at, input.hello);
      break;
    case 'reading':
      takeReading(state, input, outputs);
      break;
    case 'log':
      if (input.log.known) takeLog(state, input.at, input.log.entry, outputs);
      lookAround(state, input.at, outputs);
      break;
    case 'trouble':
      if (input.what === 'archive') state.archiveTrouble = input.text;
      else state.phoneTrouble = input.text;
      // No archive has this input: what was looked at on its account would come at another time when the firing is
      // recovered. The next second sees it.
      break;
    case 'tick':
      break;
  }
  return { state, outputs };
}

/** Ticks each whole second up to `at`, and makes `at` the present. */
function tickTo(state: FiringState, at: number, outputs: CoreOutput[]): void {
  const toS = Math.floor(at / 1000);
  if (state.now === null) state.tickedS = toS;
  state.now = Math.max(state.now ?? at, at);
  const throughS = Math.min(toS, state.tickedS + LONGEST_TICKED_S);
  for (let second = state.tickedS + 1; second <= throughS; second += 1)
    lookAround(state, second * 1000, outputs);
  if (throughS < toS) lookAround(state, toS * 1000, outputs);
  state.tickedS = Math.max(state.tickedS, toS);
}

function takeReading(state: FiringState, input: ReadingInput, outputs: CoreOutput[]): void {
  const rows: ProbeFigures[] = [];
  const taken: ProbeState[] = [];
  for (const { probe: name, raw } of input.values) {
    const probe = state.probes.find((each) => each.board === input.board && each.name === name);
    if (!probe) continue;
    rows.push(takeValue(state, probe, input, raw));
    taken.push(probe);
  }
  if (input.late) {
    outputs.push({ kind: 'reading', input, stage: state.stage.stage, rows, kiln: NO_FIGURES });
    return;
  }
  const board = state.boards.find((each) => each.board === input.board);
  if (board) {
    board.lastReadingAt = input.at;
    board.coldJunctionC = input.coldJunctionC ?? board.coldJunctionC;
    if (input.coldJunctionC !== null) noteColdJunction(board.cold, input.at, input.coldJunctionC);
  }
  watchProbes(state, input.at);
  for (const [i, row] of rows.entries()) if (taken[i]) flagDrift(taken[i], row);
  watchTurns(state, input.at);
  noteMeasured(state.measured, input.at, measuredC(state, input.at));
  const { smoothC, climbCPerH, climbSdCPerH } = lookAround(state, input.at, outputs, true);
  outputs.push({
    kind: 'reading',
    input,
    stage: state.stage.stage,
    rows,
    kiln: { smoothC, climbCPerH, climbSdCPerH },
  });
}

const NO_FIGURES: KilnFigures = { smoothC: null, climbCPerH: null, climbSdCPerH: null };

function takeLog(state: FiringState, at: number, entry: KnownLogEntry, outputs: CoreOutput[]): void {
  const happenedAt = entry.at === undefined ? at : Date.parse(entry.at);
  const tookOut = writeInBook(state.book, happenedAt, entry);
  const mends = entry.log !== 'undo' && tookOut !== null;
  const from = state.stage.stage;
  if (tookOut !== null || !isOvertaken(state.book, entry))
    stageLogged(state.stage, at, entry, tookOut, kilnFigures(state, at).smoothC);
  noteStage(state, at, from, outputs);
  const about = entry.log === 'undo' ? (tookOut ?? entry) : entry;
  if (about.log === 'plan') {
    state.plan = planInBook(state.book) ?? state.firstPlan;
  } else if (about.log === 'pulled' || about.log === 'put-back') {
    setPulled(state, at, about.probe, entry.log === 'put-back' && !mends);
  }
  state.logged = factsOf(state.book, state.plan.chargeG);
  if (entry.log === 'stoke' && !mends && at - happenedAt <= STOKE_DIPS_MS) turnsStoked(state.turns, at);
  if (tookOut?.id !== undefined) unseeCone(state, tookOut.id);
  seeCone(state, happenedAt, entry);
  countSightings(state);
  noteStanding(standingLogged(state.standings, at, entry, tookOut, state.stage.stage), outputs);
}

/** `anew`: the probe was really put back, not only logged as pulled by mistake. */
function setPulled(state: FiringState, at: number, label: string, anew: boolean): void {
  const probe = state.probes.find((each) => each.label === label);
  if (!probe) return;
  const pulled = isPulled(state.book, label);
  if (anew) {
    restartProbe(probe.track, at);
    forgetWatch(probe);
  }
  if (probe.pulled === pulled && !anew) return;
  probe.pulled = pulled;
  probe.stuck = false;
  probe.goodAt = Number.NEGATIVE_INFINITY;
}

/** Stage, alerts and forecast as they stand at `at`; the kiln's figures at that. `learns`: a reading has just come in. */
function lookAround(state: FiringState, at: number, outputs: CoreOutput[], learns = false): KilnNow {
  for (const probe of state.probes) workInLate(probe.track);
  const before = kilnFigures(state, at);
  const stoke = stokeFacts(state, at);
  const from = state.stage.stage;
  stageTick(state.stage, {
    at,
    smoothC: before.smoothC,
    climbCPerH: before.climbCPerH,
    stokedAt: stoke.seenOrLoggedAt,
    salt: state.logged.salt,
    plan: state.plan,
  });
  noteStage(state, at, from, outputs);
  // The climb is told otherwise of a kiln that is closed.
  const kiln = state.stage.stage === from ? before : kilnFigures(state, at);
  countHot(state, kiln, at);
  noteMinute(state.stoking, at, kiln);
  if (learns) learnAhead(state, kiln, at);
  const toSaltingMs = toSaltingAt(state, kiln, at);
  lookAtAlerts(state, kilnView(state, kiln, stoke, toSaltingMs, at), outputs);
  const stoking = stokingNews(state, kiln, stoke, toSaltingMs, at);
  if (stoking) outputs.push({ kind: 'stoking', stoking });
  const salting = saltingNews(state, kiln, at);
  if (salting) outputs.push({ kind: 'salting', salting });
  if (at - state.forecastAt >= FORECAST_EVERY_MS) {
    state.forecastAt = at;
    outputs.push({ kind: 'forecast', forecast: forecastAt(state, kiln, at) });
  }
  return kiln;
}

function lookAtAlerts(state: FiringState, view: KilnView, outputs: CoreOutput[]): void {
  const { lives, standings } = state;
  const said: StandingChange[] = [];
  const changes = advanceAlerts(lives, ALL_RULES, view, (fresh) => {
    said.push(...standingSays(standings, view.at, fresh));
  });
  for (const change of changes) {
    const standing = standingAfter(standings, change, view.stage);
    outputs.push({ kind: 'alert', ...change, ...(standing && { standing }) });
    // On its shelf, or out of its stage: raised, and it calls nobody.
    if (change.state === 'raised' && standing && stateOf(standing) !== 'unacknowledged')
      said.push({ at: view.at, change: 'changed', standing });
  }
  noteStanding(said, outputs);
  noteStanding(standingTick(standings, view.at, view.stage), outputs);
}

function noteStanding(changes: readonly StandingChange[], outputs: CoreOutput[]): void {
  for (const change of changes) outputs.push({ kind: 'standing', ...change });
}

/** Where nobody logs, the hour of the salt is only seen as time at salting heat. */
function countHot(state: FiringState, kiln: KilnView['kiln'], at: number): void {
  const { plan, stage, hot } = state;
  const isHot = stage.stage === 'climbing' && isAtSaltingHeat({ plan, kiln, hotForMs: hot.forMs });
  if (isHot && hot.at > 0) hot.forMs += Math.max(at - hot.at, 0);
  hot.at = Math.max(hot.at, at);
}

function noteStage(
  state: FiringState,
  at: number,
  from: FiringState['stage']['stage'],
  outputs: CoreOutput[],
): void {
  const to = state.stage.stage;
  if (to !== from) outputs.push({ kind: 'stage', at, from, to });
}
