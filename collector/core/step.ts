/**
 * The measuring core: one reducer over readings, log entries, hellos and ticks. Live watching, rerun, replay and picking
 * up again after a crash all run this, on the same inputs, and get the same answers.
 */
import { advanceAlerts } from '../../alerts/life.ts';
import { ALL_RULES } from '../../alerts/rules/all.ts';
import type { KilnView } from '../../alerts/view.ts';
import type { KnownLogEntry } from '../../protocol/log-entries.ts';
import type { RawValue } from '../../protocol/probes.ts';
import { convert, coupleLimitC } from './couple/convert.ts';
import { faultOf, kilnFigures, probeFigures, speakingProbes, toSalting } from './figures.ts';
import { coneValue } from './heat-work/heat-work.ts';
import type {
  CoreInput,
  CoreOutput,
  KilnFigures,
  ProbeFigures,
  ReadingFlag,
  ReadingInput,
} from './inputs.ts';
import { factsOf, medianInterval, writeInBook } from './log-book.ts';
import { addLate, feedProbe, restartProbe, workInLate } from './probe.ts';
import { stageLogged, stageTick } from './stage.ts';
import { type FiringState, isWorking, type ProbeState, takeHello } from './state.ts';
import { trackLevelC } from './track.ts';
import { followTurns, restartTurns } from './turns.ts';

export interface Stepped {
  state: FiringState;
  outputs: CoreOutput[];
}

/** After a jump of the time longer than this only its last part is ticked through: no kiln waits for so long. */
const LONGEST_TICKED_S = 14 * 86_400;
const FORECAST_EVERY_MS = 60_000;
/** `over-heat` of a probe begins so far below the top of its couple's range. */
const NEAR_LIMIT_C = 20;
/** Stokes seen in the signal that are remembered for the rhythm. */
const SEEN_STOKES = 7;
/** A stoke that was logged counts as known for so long; after that the signal is asked. */
const LOGGED_LATELY_MS = 2 * 3_600_000;

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
      state.archiveTrouble = input.text;
      lookAround(state, input.at, outputs);
      break;
    case 'tick':
      break;
  }
  return { state, outputs };
}

/** Ticks each whole second up to `at`, and makes `at` the present. */
function tickTo(state: FiringState, at: number, outputs: CoreOutput[]): void {
  const toS = Math.floor(at / 1000);
  if (state.now === null) {
    state.tickedS = toS;
    state.stage.since = at;
  }
  state.now = Math.max(state.now ?? at, at);
  if (toS - state.tickedS > LONGEST_TICKED_S) state.tickedS = toS - LONGEST_TICKED_S;
  for (let second = state.tickedS + 1; second <= toS; second += 1) lookAround(state, second * 1000, outputs);
  state.tickedS = Math.max(state.tickedS, toS);
}

function takeReading(state: FiringState, input: ReadingInput, outputs: CoreOutput[]): void {
  const cooling = state.stage.stage === 'cooling';
  const rows: ProbeFigures[] = [];
  for (const { probe: name, raw } of input.values) {
    const probe = state.probes.find((each) => each.board === input.board && each.name === name);
    if (!probe) continue;
    rows.push(takeValue(state, probe, input, raw, cooling));
  }
  if (input.late) {
    outputs.push({ kind: 'reading', input, stage: state.stage.stage, rows, kiln: NO_FIGURES });
    return;
  }
  const board = state.boards.find((each) => each.board === input.board);
  if (board) {
    board.lastReadingAt = input.at;
    board.coldJunctionC = input.coldJunctionC ?? board.coldJunctionC;
  }
  watchTurns(state, input.at);
  lookAround(state, input.at, outputs);
  const { smoothC, climbCPerH, climbSdCPerH } = kilnFigures(state, input.at);
  outputs.push({
    kind: 'reading',
    input,
    stage: state.stage.stage,
    rows,
    kiln: { smoothC, climbCPerH, climbSdCPerH },
  });
}

const NO_FIGURES: KilnFigures = { smoothC: null, climbCPerH: null, climbSdCPerH: null };

/** One probe's value through couple, screen, track and heat work: its archive row. */
function takeValue(
  state: FiringState,
  probe: ProbeState,
  input: ReadingInput,
  raw: RawValue,
  cooling: boolean,
): ProbeFigures {
  const { at } = input;
  const converted = convert(probe.track.spec, raw, input.coldJunctionC);
  const flags: ReadingFlag[] = [];
  if (converted.state === 'open' || converted.state === 'short' || converted.state === 'range')
    flags.push(converted.state);
  const tempC = converted.tempC === null ? null : converted.tempC + offsetOf(state, probe.label, at);
  if (input.late) {
    if (tempC !== null && !probe.pulled) addLate(probe.track, at, tempC, state.now ?? at);
    if (probe.pulled) flags.push('pulled');
    return { ...LATE_ROW, probe: probe.label, raw, tempC, flags };
  }
  probe.last = converted.tempC === null ? converted : { tempC: tempC ?? converted.tempC, state: 'ok' };
  probe.lastAt = at;
  if (tempC !== null) probe.numberAt = at;
  if (probe.pulled) {
    flags.push('pulled');
  } else if (tempC !== null) {
    const screened = feedProbe(probe.track, at, tempC, cooling);
    probe.stuck = screened === 'stuck';
    if (screened === 'good' || screened === 'jump') {
      probe.goodAt = at;
      probe.goodC = tempC;
    } else {
      flags.push(screened);
    }
    const cone = coneValue(probe.track.line.heat);
    if (cone !== null && (probe.cone === null || cone > probe.cone)) probe.cone = cone;
  } else if (converted.state !== 'not-measured') {
    probe.stuck = false;
    probe.goodAt = Number.NEGATIVE_INFINITY;
  }
  return { ...probeFigures(state, probe, at), raw, flags };
}

/** Smoothed figures belong to the time of arrival; of a late reading only the temperature is known. */
const LATE_ROW = { smoothC: null, climbCPerH: null, climbSdCPerH: null, cone: null, fault: null, note: null };

/** The user's own correction of a probe at `at`, °C: the latest dated one that holds by then. */
function offsetOf(state: FiringState, label: string, at: number): number {
  let offsetC = 0;
  let latest = Number.NEGATIVE_INFINITY;
  for (const offset of state.plan.offsets) {
    const from = offset.from === undefined ? Number.NEGATIVE_INFINITY : Date.parse(offset.from);
    if (offset.probe === label && from <= at && from >= latest) {
      offsetC = offset.offsetC;
      latest = from;
    }
  }
  return offsetC;
}

function watchTurns(state: FiringState, at: number): void {
  const speaking = speakingProbes(state, at);
  if (speaking.length === 0) return;
  const names = speaking.map((probe) => probe.label).join();
  if (names !== state.turnsOf) {
    state.turnsOf = names;
    restartTurns(state.turns);
  }
  const meanC = speaking.reduce((sum, probe) => sum + probe.goodC, 0) / speaking.length;
  if (followTurns(state.turns, at, meanC) === 'low') {
    state.seenStokes.push(state.turns.lowAt ?? at);
    if (state.seenStokes.length > SEEN_STOKES) state.seenStokes.shift();
  }
}

function takeLog(state: FiringState, at: number, entry: KnownLogEntry, outputs: CoreOutput[]): void {
  const happenedAt = entry.at === undefined ? at : Date.parse(entry.at);
  const undone = writeInBook(state.book, happenedAt, entry);
  const from = state.stage.stage;
  stageLogged(state.stage, at, entry, undone, kilnFigures(state, at).smoothC);
  noteStage(state, at, from, outputs);
  if (entry.log === 'plan') {
    const { log: _log, id: _id, at: _at, who: _who, where: _where, ...plan } = entry;
    state.plan = plan;
  } else if (entry.log === 'pulled' || entry.log === 'put-back') {
    setPulled(state, entry.probe, entry.log === 'pulled');
  } else if (undone?.log === 'pulled' || undone?.log === 'put-back') {
    setPulled(state, undone.probe, undone.log === 'put-back');
  }
  state.logged = factsOf(state.book, state.plan.chargeG);
}

function setPulled(state: FiringState, label: string, pulled: boolean): void {
  const probe = state.probes.find((each) => each.label === label);
  if (!probe || probe.pulled === pulled) return;
  probe.pulled = pulled;
  probe.stuck = false;
  probe.goodAt = Number.NEGATIVE_INFINITY;
  if (!pulled) restartProbe(probe.track);
}

/** Stage, alerts and forecast as they stand at `at`. */
function lookAround(state: FiringState, at: number, outputs: CoreOutput[]): void {
  const cooling = state.stage.stage === 'cooling';
  for (const probe of state.probes) workInLate(probe.track, cooling);
  const kiln = kilnFigures(state, at);
  const { salt, draws } = state.logged;
  const stoke = stokeFacts(state, at);
  const from = state.stage.stage;
  stageTick(state.stage, {
    at,
    smoothC: kiln.smoothC,
    climbCPerH: kiln.climbCPerH,
    stokedAt: stoke.seenOrLoggedAt,
    salt,
    plan: state.plan,
  });
  noteStage(state, at, from, outputs);
  const forecast = toSalting(state, kiln);
  const view: KilnView = {
    at,
    plan: state.plan,
    stage: state.stage.stage,
    stageSince: state.stage.since,
    kiln,
    probes: state.probes.map((probe) => ({
      probe: probe.label,
      working: isWorking(state, probe, at),
      pulled: probe.pulled,
      smoothC: trackLevelC(probe.track.line.track),
      nearLimitC: coupleLimitC(probe.track.spec.couple) - NEAR_LIMIT_C,
      fault: faultOf(state, probe, at),
    })),
    boards: state.boards,
    noCoupleLeft: state.probes.length > 0 && state.probes.every((probe) => probe.pulled),
    toSaltingMs: forecast?.mid ?? null,
    salt,
    draws,
    stoke,
    archiveTrouble: state.archiveTrouble,
  };
  for (const change of advanceAlerts(state.lives, ALL_RULES, view))
    outputs.push({ kind: 'alert', ...change });
  if (at - state.forecastAt >= FORECAST_EVERY_MS) {
    state.forecastAt = at;
    outputs.push({ kind: 'forecast', forecast: { at, toSaltingMs: forecast } });
  }
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

/** The rhythm by what was logged lately, else by what the signal shows. */
function stokeFacts(state: FiringState, at: number): KilnView['stoke'] & { seenOrLoggedAt: number | null } {
  const logged = state.logged.rhythm;
  const seenAt = state.seenStokes.at(-1) ?? null;
  const byLog = logged.lastAt !== null && at - logged.lastAt < LOGGED_LATELY_MS;
  const fallen = state.turns.rising === false;
  return {
    lastAt: byLog ? logged.lastAt : seenAt,
    logged: byLog,
    medianIntervalMs: byLog ? logged.medianIntervalMs : medianInterval(state.seenStokes),
    turnedDownAt: fallen ? state.turns.highAt : null,
    fallenC: fallen ? state.turns.highC - state.turns.extremeC : 0,
    seenOrLoggedAt: logged.lastAt === null ? seenAt : Math.max(logged.lastAt, seenAt ?? 0),
  };
}
