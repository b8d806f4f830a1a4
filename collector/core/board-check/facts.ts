/** From what was gathered of a link to the facts of the check: figures, no verdict. */
import type { BoardFacts, ProbeFacts } from '../../../protocol/board-facts.ts';
import { formatProbeSpec, type ProbeSpec } from '../../../protocol/probes.ts';
import { convert } from '../couple/convert.ts';
import type { Gathering, KeptReading, Question } from './gather.ts';
import { median, noiseAroundLine, type Point, quantile, slopeOf } from './spread.ts';

/** Beside a running firing the check looks back over the last minute, or 40 readings of a slow board. */
const WINDOW_MS = 60_000;
const WINDOW_PERIODS = 40;
/** A question that was just put is not yet one without an answer. */
const PENDING_MS = 2_000;
const START_READINGS = 5;
const LEAST_TO_MOVE = 8;

/** The facts as they stand at `at`, over the last `windowMs`. */
export function factsOf(state: Gathering, at: number, windowMs?: number): BoardFacts {
  const periodMs = state.hello?.periodMs ?? 0;
  const span = windowMs ?? Math.max(WINDOW_MS, Math.min(periodMs, WINDOW_MS) * WINDOW_PERIODS);
  const since = at - span;
  const within = <T extends { at: number }>(list: readonly T[]) => list.filter((one) => one.at >= since);
  const readings = within(state.readings);
  const live = readings.filter((reading) => reading.live);
  const heard = within(state.heard);
  const questions = within(state.questions).filter(
    (question) => question.tripMs !== null || at - question.at > PENDING_MS,
  );
  const specs = specsOf(state);
  return {
    link: state.link,
    standing: state.standing,
    heardForMs: Math.max(0, Math.min(span, at - (state.startedAt ?? at))),
    plain: state.plain !== null && state.hello === null,
    hello: state.hello && {
      board: state.hello.board,
      boot: state.hello.boot,
      periodMs: state.hello.periodMs,
      keeps: state.hello.keeps,
    },
    probes: specs.map((spec, index) => probeFacts(spec, index, live)),
    coldJunction: coldJunctionFacts(live),
    readings: live.length,
    lines: {
      all: heard.length,
      bad: tally(heard.flatMap(({ bad }) => (bad === null ? [] : [bad]))),
      torn: state.torn.filter((tornAt) => tornAt >= since).length,
    },
    skipped: skipped(readings, live),
    hellos: answers(questions.filter(({ seq }) => seq === null)),
    gives: {
      ...answers(questions.filter(({ seq }) => seq !== null)),
      gone: questions.filter((question) => question.gone && shouldKeep(state, question)).length,
    },
    pace: paceOf(live),
    clock: state.hello === null ? null : clockOf(live),
    restarts: state.restarts.filter((restartedAt) => restartedAt >= since).length,
    cable: state.cable && { how: state.cable.how, remembers: state.cable.remembers },
  };
}

function specsOf(state: Gathering): ProbeSpec[] {
  if (state.hello !== null) return state.hello.probes;
  return (state.plain?.probes ?? []).map(({ name, couple }) => ({ name, couple, form: { kind: 'deg' } }));
}

function tally(words: readonly string[]): Record<string, number> {
  const counts: Record<string, number> = {};
  for (const word of words) counts[word] = (counts[word] ?? 0) + 1;
  return counts;
}

function answers(questions: readonly Question[]): { asked: number; answered: number; tripMs: number | null } {
  const trips = questions.flatMap(({ tripMs }) => (tripMs === null ? [] : [tripMs]));
  return { asked: questions.length, answered: trips.length, tripMs: median(trips) };
}

/** The newest reading of then is not known any more, so that of now has to do: it only makes the judging milder. */
function shouldKeep({ hello, readings }: Gathering, { seq }: Question): boolean {
  const newest = readings.findLast(({ live }) => live);
  if (hello === null || newest === undefined || seq === null) return false;
  return newest.seq - seq < hello.keeps;
}

function probeFacts(spec: ProbeSpec, index: number, live: readonly KeptReading[]): ProbeFacts {
  const faults: string[] = [];
  const points: Point[] = [];
  const [first] = live;
  for (const { uptimeMs, coldJunctionC, values } of live) {
    const made = convert(spec, values[index] ?? null, coldJunctionC);
    if (made.state === 'ok') points.push({ x: (uptimeMs - (first?.uptimeMs ?? 0)) | 0, y: made.tempC });
    else faults.push(made.state);
  }
  const temps = points.map(({ y }) => y);
  const move = moveOf(temps);
  return {
    name: spec.name,
    couple: spec.couple,
    form: formatProbeSpec(spec).split(':')[2] ?? '',
    lastC: temps.at(-1) ?? null,
    leastC: temps.length === 0 ? null : Math.min(...temps),
    mostC: temps.length === 0 ? null : Math.max(...temps),
    noiseC: noiseAroundLine(points),
    roseC: move?.rose ?? null,
    fellC: move?.fell ?? null,
    readings: live.length,
    faults: tally(faults),
  };
}

/** From the median of the first readings to the greatest and least median of any three in a row. */
function moveOf(temps: readonly number[]): { rose: number; fell: number } | null {
  const start = median(temps.slice(0, START_READINGS));
  if (start === null || temps.length < LEAST_TO_MOVE) return null;
  const steadied = temps.slice(2).map((_, i) => median(temps.slice(i, i + 3)) ?? start);
  return {
    rose: Math.max(0, Math.max(...steadied) - start),
    fell: Math.max(0, start - Math.min(...steadied)),
  };
}

function coldJunctionFacts(live: readonly KeptReading[]): BoardFacts['coldJunction'] {
  const all = live.flatMap(({ coldJunctionC }) => (coldJunctionC === null ? [] : [coldJunctionC]));
  return {
    lastC: all.at(-1) ?? null,
    leastC: all.length === 0 ? null : Math.min(...all),
    mostC: all.length === 0 ? null : Math.max(...all),
    none: live.length - all.length,
  };
}

/** Readings between the first and the newest that never came. */
function skipped(readings: readonly KeptReading[], live: readonly KeptReading[]): number {
  const first = live[0]?.seq;
  const newest = live.at(-1)?.seq;
  if (first === undefined || newest === undefined) return 0;
  const span = ((newest - first) >>> 0) + 1;
  const there = readings.filter(({ seq }) => (seq - first) >>> 0 < span).length;
  return Math.max(0, span - there);
}

function paceOf(live: readonly KeptReading[]): BoardFacts['pace'] {
  const intervals = live.slice(1).map(({ at, seq }, i) => {
    const before = live[i];
    return before === undefined ? 0 : (at - before.at) / Math.max(1, (seq - before.seq) >>> 0);
  });
  const [lowMs, medianMs, highMs] = [0.25, 0.5, 0.75].map((share) => quantile(intervals, share));
  if (typeof lowMs !== 'number' || typeof medianMs !== 'number' || typeof highMs !== 'number') return null;
  return { medianMs, lowMs, highMs };
}

/** The line through (uptime, arrival less uptime). */
function clockOf(live: readonly KeptReading[]): BoardFacts['clock'] {
  const [first] = live;
  if (first === undefined) return null;
  const points = live.map(({ at, uptimeMs }) => {
    const x = (uptimeMs - first.uptimeMs) | 0;
    return { x, y: at - first.at - x };
  });
  const fitted = slopeOf(points);
  if (fitted === null) return null;
  // 1 ms of the board is 1 + slope of the computer's.
  return {
    fastPpm: (1 / (1 + fitted.slope) - 1) * 1e6,
    sdPpm: fitted.sd * 1e6,
    overMs: points.at(-1)?.x ?? 0,
  };
}
