/** An entry as a page, a button or a played link gives it: read, named, and its own time believed or not. */
import { KNOWN_LOG_WORDS, type LogEntry, parseLogEntry } from '../../protocol/log-entries.ts';

/** Longest span of an entry's own time before the present, and after it (its maker's clock may be off), that is believed. */
const PAST_MS = 30 * 86_400_000;
const AHEAD_MS = 3_600_000;
/** A played link says what was once logged, and an old word may have had other fields. */
const PLAYED = 'kiln';

interface Taking {
  where: string;
  /** The present, epoch ms of firing time. */
  at: number;
  /** Entries that there are, by id. */
  known: ReadonlyMap<string, number>;
  /** The kind of an entry that counts, by its id; null where there is none, or it was taken back. */
  kindOf: (id: string) => string | null;
  newId: () => string;
}

/** `refused`: why it is not taken, in a sentence; null where it is there already, which is no trouble. */
export function takeEntry(
  value: unknown,
  { where, at, known, kindOf, newId }: Taking,
): { log: LogEntry } | { refused: string | null } {
  const log = parseLogEntry(value);
  if (!log)
    return {
      refused: 'This entry cannot be read: it has no short word for what was done, or too much in it.',
    };
  const { entry } = log;
  if (!log.known && where !== PLAYED && KNOWN_LOG_WORDS.has(entry.log))
    return { refused: `This entry is not whole: '${entry.log}' lacks something, or holds what cannot be.` };
  if (entry.log === 'undo' && log.known) {
    if (!known.has(String(entry.id))) return { refused: 'There is no such entry to take back.' };
  } else if (entry.id !== undefined && known.has(entry.id)) {
    return { refused: null };
  }
  if (log.known && typeof entry.mends === 'string') {
    const kind = kindOf(entry.mends);
    if (kind === null) return { refused: 'The entry that was to be mended has been taken back.' };
    if (kind !== entry.log) return { refused: `A '${kind}' cannot be mended into a '${entry.log}'.` };
  }
  entry.id ??= newId();
  entry.where ??= where;
  if (entry.at !== undefined && !isBelieved(Date.parse(entry.at), at)) delete entry.at;
  return { log };
}

function isBelieved(ownTime: number, at: number): boolean {
  return ownTime >= at - PAST_MS && ownTime <= at + AHEAD_MS;
}
