/**
 * Notes of the collector's own about something that may come again with every reading: a board that restarts all the
 * time, readings that get lost. The first is said at once; what comes after it is counted and said in one note, after a
 * minute, then after two, four and so on up to an hour, so that the log book stays readable.
 */

const FIRST_WAIT_MS = 60_000;
const LONGEST_WAIT_MS = 3_600_000;

interface Gathering {
  waitMs: number;
  dueAt: number;
  count: number;
  summary: (count: number) => string;
}

export interface GatheredNotes {
  /** `count` of what `about` names have happened at `at` (epoch ms): said now in these words, or later in a summary's. */
  add(note: {
    about: string;
    at: number;
    count: number;
    text: string;
    summary: (count: number) => string;
  }): void;
  /** To be called from time to time: says what is due. */
  tick(at: number): void;
}

export function newGatheredNotes(say: (at: number, text: string) => void): GatheredNotes {
  const gatherings = new Map<string, Gathering>();
  return {
    add({ about, at, count, text, summary }) {
      const gathering = gatherings.get(about);
      if (gathering) {
        gathering.count += count;
        gathering.summary = summary;
        return;
      }
      gatherings.set(about, { waitMs: FIRST_WAIT_MS, dueAt: at + FIRST_WAIT_MS, count: 0, summary });
      say(at, text);
    },
    tick(at) {
      for (const [about, gathering] of gatherings) {
        if (at < gathering.dueAt) continue;
        const { count, summary, waitMs } = gathering;
        if (count === 0) {
          gatherings.delete(about);
          continue;
        }
        gathering.count = 0;
        gathering.waitMs = Math.min(2 * waitMs, LONGEST_WAIT_MS);
        gathering.dueAt = at + gathering.waitMs;
        say(at, summary(count));
      }
    },
  };
}
