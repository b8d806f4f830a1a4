/** What a desk remembers, and the small steps that all its parts take. */
import { type CollectorLine, formatCollectorLine, type Hello } from '../../protocol/board-lines.ts';
import type { Plan } from '../../protocol/plan.ts';
import type { Arrived, ArrivedPress } from './arrived.ts';
import type { Boot } from './boot.ts';
import type { BadWhy, DeskCounts, DeskOutput } from './desk-types.ts';
import { type Doubts, newDoubts } from './plausible.ts';

/** A plain board between two openings of its link. */
export interface PlainRun {
  openedAt: number;
  seq: number;
  lastAt: number | null;
  /** The newest times between arrivals, in ms. */
  intervals: number[];
  boot: Boot | null;
}

/** What the desks of a firing know together: a board may be plugged in at another link, or at two. */
export interface Boards {
  /** The last boot of each board, by board id. */
  boots: Map<string, Boot>;
  /** On which link each board was heard last, in which boot, and when (epoch ms). */
  heard: Map<string, { link: string; boot: string; at: number }>;
}

export function newBoards(): Boards {
  return { boots: new Map(), heard: new Map() };
}

export interface Desk {
  readonly link: string;
  readonly counts: DeskCounts;
  plain: Plan['plainBoard'];
  /** A framed line has come: what else comes is noise, whatever the plan says of plain boards. */
  framed: boolean;
  plainRun: PlainRun | null;
  /** The boot that speaks now, or null while no hello has come. */
  current: Boot | null;
  /** Shared by the desks of a firing. */
  readonly boards: Boards;
  /** Every probe that a hello named, as `board probe`. */
  probes: Set<string>;
  /** Lines that fit the current boot in no way: the next hello decides. */
  aside: (Arrived | ArrivedPress)[];
  open: boolean;
  openedAt: number;
  /** A hello has come since the link was opened. */
  confirmed: boolean;
  /** When any line came, and when one that could be used. */
  lineAt: number;
  heardAt: number;
  silent: boolean;
  askedHelloAt: number;
  /** A hello has come since it was last asked for. */
  answered: boolean;
  askedReopenAt: number;
  doubts: Doubts;
  /** When one board took the place of another without the link being opened anew; null: that has been told. */
  turns: { at: number; board: string }[] | null;
}

const NEVER = Number.NEGATIVE_INFINITY;
/** While it is not known who speaks, a hello is asked for as often as this. */
export const ASK_AGAIN_MS = 5000;
const ANSWERED_MS = 1000;

/**
 * The desk of a link that has not been opened yet. `plain`: the plan's word on a board that only prints numbers;
 * `boards`: those of the firing, where it has several links.
 */
export function openDesk({
  link,
  plain,
  boards = newBoards(),
}: {
  link: string;
  plain: Plan['plainBoard'];
  boards?: Boards;
}): Desk {
  return {
    link,
    counts: { lines: 0, bad: {}, duplicates: 0, late: 0, aside: 0, missing: 0 },
    plain,
    framed: false,
    plainRun: null,
    current: null,
    boards,
    probes: new Set(),
    aside: [],
    open: false,
    openedAt: NEVER,
    confirmed: false,
    lineAt: NEVER,
    heardAt: NEVER,
    silent: false,
    askedHelloAt: NEVER,
    answered: false,
    askedReopenAt: NEVER,
    doubts: newDoubts(),
    turns: [],
  };
}

export function send(line: CollectorLine): DeskOutput {
  return { kind: 'send', line: formatCollectorLine(line) };
}

export function countBad(desk: Desk, at: number, why: BadWhy, text: string, out: DeskOutput[]): void {
  desk.counts.bad[why] = (desk.counts.bad[why] ?? 0) + 1;
  out.push({ kind: 'bad', at: Math.round(at), why, text });
}

/** Asks for a hello; again only `againMs` after a question that was not answered, and 1 s after one that was. */
export function askHello(desk: Desk, at: number, againMs: number, out: DeskOutput[]): void {
  const waitMs = desk.answered ? ANSWERED_MS : againMs;
  if (!desk.open || at - desk.askedHelloAt < waitMs) return;
  desk.askedHelloAt = at;
  desk.answered = false;
  out.push(send({ kind: 'hello?' }));
}

/** So many boards of a firing are remembered. */
const MOST_BOARDS = 16;

/** From now on this boot speaks on the link. */
export function remember(desk: Desk, boot: Boot): void {
  const { board } = boot.hello;
  const { boots } = desk.boards;
  boots.delete(board);
  boots.set(board, boot);
  desk.current = boot;
  const [oldest] = boots.keys();
  if (boots.size > MOST_BOARDS && oldest !== undefined) boots.delete(oldest);
}

/** Nobody has so many couples on one link: whoever says so says something else each time, and each would be kept for good. */
const MOST_PROBES = 64;

/** Takes note of a hello's probes; false: there are too many by now. */
export function noteProbes(desk: Desk, { board, probes }: Hello): boolean {
  const fresh = probes.map(({ name }) => `${board} ${name}`).filter((name) => !desk.probes.has(name));
  if (desk.probes.size + fresh.length > MOST_PROBES) return false;
  for (const name of fresh) desk.probes.add(name);
  return true;
}

/** Something usable came over the link. */
export function noteHeard(desk: Desk, at: number, out: DeskOutput[]): void {
  desk.heardAt = at;
  noteSpeaker(desk, at);
  if (!desk.silent) return;
  desk.silent = false;
  out.push({ kind: 'heard', at: Math.round(at) });
}

/** The board that speaks on this link is here, and not at another one. */
export function noteSpeaker(desk: Desk, at: number): void {
  if (desk.current === null) return;
  const { board, boot } = desk.current.hello;
  desk.boards.heard.set(board, { link: desk.link, boot, at });
}

/** The link carries no plain board any more, or its next one is another. */
export function forgetPlain(desk: Desk): void {
  if (desk.plainRun === null) return;
  if (desk.current === desk.plainRun.boot) desk.current = null;
  desk.plainRun = null;
}
