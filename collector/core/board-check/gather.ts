/**
 * What the check before lighting remembers of a link: the newest lines, readings, questions and answers. A reducer, fed
 * with what a link brings and takes; no clock and no port of its own. Bounded, so that it may run for days beside a
 * firing.
 */
import {
  type CollectorLine,
  type Hello,
  parseBoardLine,
  rangeLength,
} from '../../../protocol/board-lines.ts';
import { parsePlainLine } from '../../../protocol/plain-lines.ts';
import type { Plan } from '../../../protocol/plan.ts';
import type { RawValue } from '../../../protocol/probes.ts';
import { cFromF } from '../../../protocol/units.ts';

/** `at` is epoch ms. */
export type GatherInput =
  /** `gone`: the link broke off, by a pulled cable or a board out of reach. */
  | { kind: 'standing'; at: number; gone: boolean; text: string }
  /** The link is being shut and opened again, for the sake of the check. */
  | { kind: 'reopening'; at: number }
  | { kind: 'line'; at: number; text: string }
  | { kind: 'torn'; at: number }
  | { kind: 'sent'; at: number; line: CollectorLine };

export interface KeptReading {
  at: number;
  seq: number;
  uptimeMs: number;
  coldJunctionC: number | null;
  values: RawValue[];
  /** It came in its turn, and not because it was asked for. */
  live: boolean;
}

/** Questions of one kind: when each was asked, and what came of it. */
export interface Question {
  at: number;
  /** The seq asked for; null: a hello. */
  seq: number | null;
  tripMs: number | null;
  gone: boolean;
}

export interface Gathering {
  readonly link: string;
  readonly plain: Plan['plainBoard'];
  startedAt: number | null;
  standing: string;
  hello: Hello | null;
  heard: { at: number; bad: string | null }[];
  torn: number[];
  readings: KeptReading[];
  questions: Question[];
  restarts: number[];
  cable: { how: 'reopened' | 'pulled'; boot: string | null; remembers: boolean | null } | null;
}

const KEPT_READINGS = 600;
const KEPT_LINES = 2_000;
const KEPT_QUESTIONS = 100;
/** What comes later is no answer. */
const ANSWER_WITHIN_MS = 5_000;

/** `plain`: what the numbers of a board are that only prints numbers. */
export function newGathering(link: string, plain: Plan['plainBoard']): Gathering {
  return {
    link,
    plain,
    startedAt: null,
    standing: '',
    hello: null,
    heard: [],
    torn: [],
    readings: [],
    questions: [],
    restarts: [],
    cable: null,
  };
}

/** Takes one input in; the gathering is changed in place. Never throws, whatever a line holds. */
export function gather(state: Gathering, input: GatherInput): void {
  state.startedAt ??= input.at;
  switch (input.kind) {
    case 'standing':
      takeStanding(state, input);
      break;
    case 'reopening':
      state.cable = { how: 'reopened', boot: state.hello?.boot ?? null, remembers: null };
      break;
    case 'torn':
      keep(state.torn, input.at, KEPT_LINES);
      break;
    case 'sent':
      if (input.line.kind === 'lamp') break;
      keep(
        state.questions,
        {
          at: input.at,
          seq: input.line.kind === 'give' ? input.line.from : null,
          tripMs: null,
          gone: false,
        },
        KEPT_QUESTIONS,
      );
      break;
    case 'line':
      keep(state.heard, { at: input.at, bad: takeLine(state, input.at, input.text) }, KEPT_LINES);
      break;
  }
}

function keep<T>(list: T[], value: T, most: number): void {
  list.push(value);
  if (list.length > most) list.splice(0, list.length - most);
}

function takeStanding(state: Gathering, { gone, text }: { gone: boolean; text: string }): void {
  state.standing = text;
  // A link that is opened again for the check may be away for a moment: that is no pulled cable.
  const tried = state.cable?.how === 'reopened' && state.cable.remembers === null;
  if (gone && state.hello !== null && !tried)
    state.cable = { how: 'pulled', boot: state.hello.boot, remembers: null };
}

/** The answer is why the line was not used, or null. */
function takeLine(state: Gathering, at: number, text: string): string | null {
  const parsed = parseBoardLine(text);
  if (!parsed.ok) {
    if (/^\s*$/.test(text)) return null;
    if (state.plain === null || state.hello !== null || /[$*]/.test(text)) return parsed.why;
    return takePlain(state, state.plain, at, text);
  }
  const { line } = parsed;
  switch (line.kind) {
    case 'hello':
      takeHello(state, at, line.hello);
      return null;
    case 'missing':
      for (const question of openQuestions(state, at))
        if (question.seq !== null && (question.seq - line.from) >>> 0 < rangeLength(line.from, line.to)) {
          question.gone = true;
          question.tripMs = at - question.at;
        }
      return null;
    case 'reading':
      if (state.hello === null) return 'before-hello';
      if (line.values.length !== state.hello.probes.length) return 'wrong-count';
      takeReading(state, { ...line, at });
      return null;
    case 'button':
      return null;
  }
}

function openQuestions(state: Gathering, at: number): Question[] {
  return state.questions.filter(
    ({ tripMs, at: askedAt }) => tripMs === null && at - askedAt <= ANSWER_WITHIN_MS,
  );
}

function takeHello(state: Gathering, at: number, hello: Hello): void {
  const before = state.hello;
  const [asked] = openQuestions(state, at).filter(({ seq }) => seq === null);
  if (asked) asked.tripMs = at - asked.at;
  const same = before !== null && before.board === hello.board && before.boot === hello.boot;
  const { cable } = state;
  if (cable !== null && cable.remembers === null && cable.boot !== null) cable.remembers = same;
  else if (before !== null && !same) keep(state.restarts, at, KEPT_QUESTIONS);
  if (!same) state.readings = [];
  state.hello = hello;
}

function takeReading(state: Gathering, reading: Omit<KeptReading, 'live'>): void {
  const newest = state.readings.findLast(({ live }) => live);
  const live = newest === undefined || ((reading.seq - newest.seq) | 0) > 0;
  const { at, seq, uptimeMs, coldJunctionC, values } = reading;
  for (const question of openQuestions(state, at))
    if (question.seq === seq && !live) question.tripMs = at - question.at;
  const known = state.readings.some((one) => one.seq === seq);
  if (!known) keep(state.readings, { at, seq, uptimeMs, coldJunctionC, values, live }, KEPT_READINGS);
}

function takePlain(
  state: Gathering,
  plain: NonNullable<Plan['plainBoard']>,
  at: number,
  text: string,
): string | null {
  const numbers = parsePlainLine(text);
  if (numbers === null) return 'no-numbers';
  if (numbers.length !== plain.probes.length) return 'wrong-count';
  const values = numbers.map((value) => (value === null || plain.unit === 'C' ? value : cFromF(value)));
  const seq = ((state.readings.at(-1)?.seq ?? -1) + 1) >>> 0;
  const uptimeMs = Math.round(at - (state.startedAt ?? at));
  keep(state.readings, { at, seq, uptimeMs, coldJunctionC: null, values, live: true }, KEPT_READINGS);
  return null;
}

/** Questions are put so far apart. */
const ASK_EVERY_MS = 1_500;
/** The newest readings may still be on their way. */
const LEAST_READINGS_TO_ASK = 3;

/**
 * What to ask the board now, or null: in turn a hello, the reading before the newest, and the oldest that by its word it
 * still keeps. A board that only prints numbers is asked nothing.
 */
export function nextQuestion(state: Gathering, at: number): CollectorLine | null {
  if (state.plain !== null && state.hello === null) return null;
  const last = state.questions.at(-1);
  if (last !== undefined && at - last.at < ASK_EVERY_MS) return null;
  const newest = state.readings.findLast(({ live }) => live);
  const keeps = state.hello?.keeps ?? 0;
  const wantsGive = last !== undefined && last.seq === null;
  if (!wantsGive || newest === undefined || keeps < 2 || state.readings.length < LEAST_READINGS_TO_ASK)
    return { kind: 'hello?' };
  const gives = state.questions.filter(({ seq }) => seq !== null).length;
  // One fewer than it says: while the question is on its way, the board reads again. Before a boot there is nothing.
  const back = gives % 2 === 0 ? 1 : Math.max(1, Math.min(keeps - 2, newest.seq));
  const from = (newest.seq - back) >>> 0;
  return { kind: 'give', from, to: from };
}
