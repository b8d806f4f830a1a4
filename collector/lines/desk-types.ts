/** What goes into the desk of a link, and what comes out of it. Times are epoch ms of firing time; `at` in may be fractional, out it is whole. */
import type { BadBoardLine, Hello } from '../../protocol/board-lines.ts';
import type { Plan } from '../../protocol/plan.ts';
import type { ReadingInput } from '../core/inputs.ts';

/** What the desk wants to know of an archive row after a restart of the collector. */
export type KeptReading = Pick<ReadingInput, 'at' | 'board' | 'boot' | 'seq' | 'uptimeMs' | 'late'>;

export type DeskInput =
  /** The link has just opened. Also the first input for a capture, at the time of its first line. */
  | { kind: 'opened'; at: number }
  /** The link is gone (unplugged, or about to be opened again): until `opened`, nothing is asked. May be left out. */
  | { kind: 'closed'; at: number }
  /** One whole line, its line end dropped. */
  | { kind: 'line'; at: number; text: string }
  /** Once a second. */
  | { kind: 'tick'; at: number }
  /** The plan says otherwise about a board that only prints numbers. */
  | { kind: 'plain'; at: number; plain: Plan['plainBoard'] }
  /** Out of the archive, before `opened`: the last hello of a board, then its rows in order of arrival. */
  | { kind: 'adopt-hello'; hello: Hello }
  | { kind: 'adopt'; row: KeptReading };

/** Why a line was not used. The first six are the codec's; see board-lines.ts. */
export type BadWhy =
  | BadBoardLine
  /** A reading, press or answer while it is not known yet which board and boot it comes from. */
  | 'before-hello'
  /** Not as many values as the hello (or the plan, for a plain board) has probes. */
  | 'wrong-count'
  /** Its seq and uptime belong to no reading that this boot can have sent. */
  | 'does-not-fit'
  /** It came through the CRC, and is hard to believe all the same: it is asked for again. */
  | 'doubtful'
  /** Another board, at another link, has the same name. */
  | 'namesake'
  /** A hello of yet other boards or probes, when far more have been named than anybody has. */
  | 'too-many-probes'
  /** A plain board's line without a number in it. */
  | 'no-numbers';

export type DeskOutput =
  /** Send this framed line over the link. In a rerun there is nobody to send it to. */
  | { kind: 'send'; line: string }
  /** A hello that says something new: another board or boot, or other probes. */
  | { kind: 'hello'; at: number; hello: Hello }
  /** A reading to be used, its `at` the steadied time. Of one board, those not late come in order and never go back. */
  | { kind: 'reading'; reading: ReadingInput }
  /** A press of a button at the kiln; `at` is when it was pressed. */
  | { kind: 'button'; at: number; board: string; boot: string; seq: number; button: number }
  /** These readings (seqs, inclusive, forward modulo 2^32) are gone for good. */
  | { kind: 'missing'; at: number; board: string; boot: string; from: number; to: number }
  /** The same board is up anew. Its hello comes next. */
  | { kind: 'restarted'; at: number; board: string; boot: string }
  /**
   * The archive and the board's clock together say that it is later than the computer's clock says: `byMs` later. Told
   * once, with the first reading of a boot that was known before the collector was started again.
   */
  | { kind: 'behind'; at: number; byMs: number }
  /** A board of the same name speaks on the link `other`: this one is not listened to. */
  | { kind: 'namesake'; at: number; board: string; other: string }
  /** Several boards speak on this link in turns. */
  | { kind: 'mixed'; at: number; boards: string[] }
  /** The board does not read as often as it says; a hello with the period that it keeps comes next. */
  | { kind: 'odd-period'; at: number; board: string; saidMs: number; keptMs: number }
  /** Nothing usable for five periods; `heard` ends it. */
  | { kind: 'silent'; at: number }
  | { kind: 'heard'; at: number }
  /** Silent for so long that the port should be closed and opened again. At most once in 5 min. */
  | { kind: 'reopen'; at: number }
  | { kind: 'bad'; at: number; why: BadWhy; text: string };

export interface DeskCounts {
  /** Lines of any kind that came in. */
  lines: number;
  /** Lines that were not used, by why. */
  bad: Partial<Record<BadWhy, number>>;
  /** Readings and presses that were known already. */
  duplicates: number;
  /** Readings that were used though later ones were there before them. */
  late: number;
  /** Readings and presses that had to wait for a hello to say which boot they belong to. */
  aside: number;
  /** Readings that are gone for good. */
  missing: number;
}
