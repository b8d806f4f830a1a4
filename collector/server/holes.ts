/**
 * Which readings a firing lacks, by the boards' own counting: over a hole no line is drawn, however short it is. A hole
 * that late readings fill is none any more.
 */

/** From the last reading before the hole to the first one after it, epoch ms. */
export interface Hole {
  fromAt: number;
  toAt: number;
}

/** Readings in a row. Seqs are carried on past 2^32. */
interface Run {
  from: number;
  to: number;
  fromAt: number;
  toAt: number;
}

interface BoardRuns {
  boot: string;
  runs: Run[];
  /** Holes of boots that are over. */
  past: Hole[];
}

export type Holes = Map<string, BoardRuns>;

/** Beyond so many the oldest hole of a board is forgotten. */
const MOST_HOLES = 2000;

/** Takes note of a reading, in whatever order they come. */
export function noteSeq(
  holes: Holes,
  { board, boot, seq }: { board: string; boot: string; seq: number },
  at: number,
): void {
  let known = holes.get(board);
  if (known === undefined) {
    known = { boot, runs: [], past: [] };
    holes.set(board, known);
  }
  if (known.boot !== boot) {
    known.past.push(...holesBetween(known.runs));
    known.past.splice(0, known.past.length - MOST_HOLES);
    known.boot = boot;
    known.runs = [];
  }
  addSeq(known.runs, seq, at);
}

function addSeq(runs: Run[], seq32: number, at: number): void {
  const last = runs.at(-1);
  const seq = last === undefined ? seq32 : last.to + ((seq32 - last.to) | 0);
  let place = runs.length;
  while (place > 0 && (runs[place - 1]?.from ?? 0) > seq) place -= 1;
  const before = runs[place - 1];
  const after = runs[place];
  if (before !== undefined && seq <= before.to) return;
  const joinsBefore = before !== undefined && before.to + 1 === seq;
  const joinsAfter = after !== undefined && after.from - 1 === seq;
  if (joinsBefore && joinsAfter) {
    before.to = after.to;
    before.toAt = after.toAt;
    runs.splice(place, 1);
  } else if (joinsBefore) {
    before.to = seq;
    before.toAt = at;
  } else if (joinsAfter) {
    after.from = seq;
    after.fromAt = at;
  } else {
    runs.splice(place, 0, { from: seq, to: seq, fromAt: at, toAt: at });
    const [first, second] = runs;
    if (runs.length <= MOST_HOLES || first === undefined || second === undefined) return;
    first.to = second.to;
    first.toAt = second.toAt;
    runs.splice(1, 1);
  }
}

function holesBetween(runs: readonly Run[]): Hole[] {
  return runs.slice(1).map((run, i) => ({ fromAt: runs[i]?.toAt ?? run.fromAt, toAt: run.fromAt }));
}

/** The holes of a board, or with null those of all, by time. */
export function holesOf(holes: Holes, board: string | null): Hole[] {
  const wanted = board === null ? [...holes.values()] : [holes.get(board)];
  return wanted
    .flatMap((one) => (one ? [...one.past, ...holesBetween(one.runs)] : []))
    .sort((a, b) => a.fromAt - b.fromAt);
}

/** Whether the newest reading of a board follows a hole. */
export function isAfterHole(holes: Holes, board: string): boolean {
  const runs = holes.get(board)?.runs ?? [];
  const last = runs.at(-1);
  return runs.length > 1 && last !== undefined && last.from === last.to;
}
