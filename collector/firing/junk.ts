/**
 * What of a link's junk goes into link.capture. At a wrong speed a board fills a disk in a night with what nobody can
 * read: of a long row of lines that make no sense the first are written down, then a sample, and how many were left out.
 */

/** So many junk lines in a row are kept. */
const KEPT = 200;
/** Of those that follow, one in so many. */
const SAMPLE = 1000;

export interface JunkRun {
  /** Junk lines since the last line that made sense. */
  lines: number;
  /** Of these, not written down and not told yet. */
  leftOut: number;
}

export function newJunkRun(): JunkRun {
  return { lines: 0, leftOut: 0 };
}

/** Whether a line is written down. `junk`: it makes no sense. Asked once for each line, in order. */
export function keepsLine(run: JunkRun, junk: boolean): boolean {
  if (!junk) {
    run.lines = 0;
    return true;
  }
  run.lines += 1;
  if (run.lines <= KEPT || run.lines % SAMPLE === 0) return true;
  run.leftOut += 1;
  return false;
}

/** What the capture is told of the lines that were left out since the last call; null where none were. */
export function leftOutNote(run: JunkRun): string | null {
  const { leftOut } = run;
  run.leftOut = 0;
  return leftOut === 0 ? null : `${leftOut} more lines that make no sense were left out here`;
}
