/** What was logged, as the stage and the alerts need it: salt in, draws, stokes, and what was undone. */
import type { KnownLogEntry } from '../../protocol/log-entries.ts';
import type { Plan } from '../../protocol/plan.ts';
import { MINUTE_MS } from '../../protocol/units.ts';
import { medianInterval } from './median-interval.ts';
import type { DrawRing, SaltCharge } from './salting-facts.ts';
import type { Stoke } from './stoking.ts';

/** Entries that can still be undone or counted; a firing has some hundreds. */
const KEPT_ENTRIES = 20_000;
/** The usual interval is taken from so many of the last stokes. */
const RHYTHM_STOKES = 6;
/** Stokes within this of one another are one: both holes, one after the other. */
const ONE_STOKE_MS = MINUTE_MS;

interface Kept {
  id: string | null;
  /** Ids of the entries whose place it took: whoever takes one of them back means this one. */
  was: string[];
  at: number;
  entry: KnownLogEntry;
}

export interface LogBook {
  kept: Kept[];
}

export function newLogBook(): LogBook {
  return { kept: [] };
}

export interface Salt {
  inKg: number;
  startedAt: number | null;
  lastAt: number | null;
  ended: boolean;
}

function placeOf(book: LogBook, id: string): number {
  return book.kept.findLastIndex((kept) => kept.id === id || kept.was.includes(id));
}

/** The kind of the entry of this id, in its own or in a mended shape; null where there is none, or it was taken back. */
export function kindInBook(book: LogBook, id: string): KnownLogEntry['log'] | null {
  return book.kept[placeOf(book, id)]?.entry.log ?? null;
}

/**
 * Takes an entry that happened at `at` (epoch ms). An undo takes the named entry out, and an entry that mends another
 * stands in its place; the answer is what it took out.
 */
export function writeInBook(book: LogBook, at: number, entry: KnownLogEntry): KnownLogEntry | null {
  if (entry.log === 'undo') {
    const index = placeOf(book, entry.id);
    const [undone] = index < 0 ? [] : book.kept.splice(index, 1);
    return undone?.entry ?? null;
  }
  const kept: Kept = { id: entry.id ?? null, was: [], at, entry };
  const index = entry.mends === undefined ? -1 : placeOf(book, entry.mends);
  const mended = book.kept[index];
  if (mended && mended.entry.log === entry.log) {
    kept.was = mended.id === null ? mended.was : [...mended.was, mended.id];
    book.kept[index] = kept;
    return mended.entry;
  }
  book.kept.push(kept);
  if (book.kept.length > KEPT_ENTRIES) book.kept.shift();
  return null;
}

/** What the stage and the alerts go by. */
export interface LoggedFacts {
  salt: Salt;
  /** Draw rings pulled since salting began. */
  draws: number;
  charges: SaltCharge[];
  /** All rings, in the order of the book. */
  rings: DrawRing[];
  rhythm: { lastAt: number | null; medianIntervalMs: number | null };
  /** All stokes, ascending. */
  stokes: Stoke[];
  /** When the damper was last moved. */
  damperAt: number | null;
}

/** Counted anew after each entry; a charge of salt with no weight of its own counts as `chargeG` grams. */
export function factsOf(book: LogBook, chargeG: number): LoggedFacts {
  const salt = saltSoFar(book, chargeG);
  const draws = salt.startedAt === null ? 0 : drawsSince(book, salt.startedAt);
  const stokes = stokesIn(book);
  return {
    salt,
    draws,
    charges: chargesIn(book),
    rings: ringsIn(book),
    rhythm: stokeRhythm(book, stokes),
    stokes,
    damperAt: damperMoved(book),
  };
}

function chargesIn(book: LogBook): SaltCharge[] {
  return book.kept.flatMap(({ at, entry }) =>
    entry.log === 'salt' ? [{ at, hole: entry.hole, g: entry.g ?? null }] : [],
  );
}

function ringsIn(book: LogBook): DrawRing[] {
  return book.kept.flatMap(({ at, entry }) =>
    entry.log === 'draw'
      ? [{ at, thickness: entry.thickness ?? null, orangePeel: entry.orangePeel === true }]
      : [],
  );
}

function damperMoved(book: LogBook): number | null {
  const times = book.kept.flatMap(({ at, entry }) => (entry.log === 'damper' ? [at] : []));
  return times.length > 0 ? Math.max(...times) : null;
}

function saltSoFar(book: LogBook, chargeG: number): Salt {
  const salt: Salt = { inKg: 0, startedAt: null, lastAt: null, ended: false };
  for (const { at, entry } of book.kept) {
    if (entry.log === 'salt') {
      salt.inKg += (entry.g ?? chargeG) / 1000;
      salt.startedAt = salt.startedAt === null ? at : Math.min(salt.startedAt, at);
      salt.lastAt = salt.lastAt === null ? at : Math.max(salt.lastAt, at);
    }
  }
  salt.ended = isSaltEnded(book);
  return salt;
}

/** Whether the last that happened of the salt is its end; an entry may be delivered long after it happened. */
function isSaltEnded(book: LogBook): boolean {
  return lastOf(book, ({ log }) => log === 'salt' || log === 'end-salt')?.log === 'end-salt';
}

/** An entry of the salt that was delivered when what happened after it was in the book already: it moves no stage. */
export function isOvertaken(book: LogBook, { log }: KnownLogEntry): boolean {
  return (log === 'salt' || log === 'end-salt') && isSaltEnded(book) !== (log === 'end-salt');
}

/** The one that happened last of those that are meant; of two at the same time the one that came last. */
function lastOf(book: LogBook, isMeant: (entry: KnownLogEntry) => boolean): KnownLogEntry | null {
  let last: Kept | null = null;
  for (const kept of book.kept) if (isMeant(kept.entry) && kept.at >= (last?.at ?? -Infinity)) last = kept;
  return last?.entry ?? null;
}

/** Draw rings pulled at or after `since`. */
function drawsSince(book: LogBook, since: number): number {
  return book.kept.reduce(
    (count, { at, entry }) => (entry.log === 'draw' && at >= since ? count + 1 : count),
    0,
  );
}

/** Stokes within a minute of one another are one: both holes, one after the other. */
function stokesIn(book: LogBook): Stoke[] {
  const logged = book.kept.flatMap(({ at, entry }): Stoke[] =>
    entry.log === 'stoke'
      ? [{ at, hole: entry.hole, kg: entry.kg ?? 0, unweighed: entry.kg === undefined ? 1 : 0 }]
      : [],
  );
  logged.sort((a, b) => a.at - b.at);
  const stokes: Stoke[] = [];
  let lastAt = Number.NEGATIVE_INFINITY;
  for (const stoke of logged) {
    const one = stokes.at(-1);
    if (one && stoke.at - lastAt <= ONE_STOKE_MS) {
      if (one.hole !== stoke.hole) one.hole = null;
      one.kg += stoke.kg;
      one.unweighed += stoke.unweighed;
    } else {
      stokes.push(stoke);
    }
    lastAt = stoke.at;
  }
  return stokes;
}

/** When the last stoke was logged, and the middle of the last intervals between stokes; null where too few are known. */
function stokeRhythm(book: LogBook, stokes: readonly Stoke[]): LoggedFacts['rhythm'] {
  const times = book.kept.flatMap(({ at, entry }) => (entry.log === 'stoke' ? [at] : []));
  return {
    lastAt: times.length > 0 ? Math.max(...times) : null,
    medianIntervalMs: medianInterval(stokes.slice(-RHYTHM_STOKES - 1).map(({ at }) => at)),
  };
}

/** Whether the last that happened to the probe of this name is that it was pulled. */
export function isPulled(book: LogBook, label: string): boolean {
  const last = lastOf(
    book,
    (entry) => (entry.log === 'pulled' || entry.log === 'put-back') && entry.probe === label,
  );
  return last?.log === 'pulled';
}

/** The plan as it was last logged; null where none was. */
export function planInBook(book: LogBook): Plan | null {
  const last = book.kept.findLast(({ entry }) => entry.log === 'plan')?.entry;
  if (last?.log !== 'plan') return null;
  const { log: _log, id: _id, at: _at, who: _who, where: _where, mends: _mends, ...plan } = last;
  return plan;
}
