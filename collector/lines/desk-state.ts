/** What a desk remembers, and the small steps that all its parts take. */
import { type CollectorLine, formatCollectorLine, type Hello } from '../../protocol/board-lines.ts';
import type { Plan } from '../../protocol/plan.ts';
import type { Arrived, ArrivedPress, Boot } from './boot.ts';
import type { BadWhy, DeskCounts, DeskOutput } from './desk-types.ts';

/** A plain board between two openings of its link. */
export interface PlainRun {
  openedAt: number;
  seq: number;
  lastAt: number | null;
  /** The newest times between arrivals, in ms. */
  intervals: number[];
  boot: Boot | null;
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
  /** The last boot of each board that was heard on this link, by board id. */
  boots: Map<string, Boot>;
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
}

const NEVER = Number.NEGATIVE_INFINITY;
/** While it is not known who speaks, a hello is asked for as often as this. */
export const ASK_AGAIN_MS = 5000;
const ANSWERED_MS = 1000;

/** The desk of a link that has not been opened yet. `plain`: the plan's word on a board that only prints numbers. */
export function openDesk({ link, plain }: { link: string; plain: Plan['plainBoard'] }): Desk {
  return {
    link,
    counts: { lines: 0, bad: {}, duplicates: 0, late: 0, aside: 0, missing: 0 },
    plain,
    framed: false,
    plainRun: null,
    current: null,
    boots: new Map(),
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

/** A link that other boards are plugged in at remembers so many of them. */
const MOST_BOARDS = 8;

/** From now on this boot speaks on the link. */
export function remember(desk: Desk, boot: Boot): void {
  const { board } = boot.hello;
  desk.boots.delete(board);
  desk.boots.set(board, boot);
  desk.current = boot;
  const [oldest] = desk.boots.keys();
  if (desk.boots.size > MOST_BOARDS && oldest !== undefined) desk.boots.delete(oldest);
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
  if (!desk.silent) return;
  desk.silent = false;
  out.push({ kind: 'heard', at: Math.round(at) });
}

/** The link carries no plain board any more, or its next one is another. */
export function forgetPlain(desk: Desk): void {
  if (desk.plainRun === null) return;
  if (desk.current === desk.plainRun.boot) desk.current = null;
  desk.plainRun = null;
}
