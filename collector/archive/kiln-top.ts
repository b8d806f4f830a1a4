/**
 * How hot the kiln got, out of the lines of readings.csv: a loop over bytes, since the list of past firings needs this
 * one figure of every firing and a CSV library takes seconds for each.
 */
import { READING_COLUMNS } from '../../protocol/archive-columns.ts';

const COMMA = 44;
const LF = 10;

const columnAt = (name: string) => READING_COLUMNS.findIndex((column) => column.name === name);
const BOARD = columnAt('board');
const SEQ = columnAt('seq');
const PROBE = columnAt('probe');
const SMOOTH = columnAt('smooth_c');
const LATE = columnAt('late');

/** The reading whose rows are being read. */
interface OpenReading {
  key: string;
  sumC: number;
  count: number;
  guideC: number | null;
}

export interface KilnTop {
  /** Whole lines, in order. */
  add(lines: Buffer): void;
  /** The greatest smoothed temperature of the kiln, °C: that of the guide, or where it has none the mean of the probes. */
  topC(): number | null;
}

/** `guide`: the plan's, or null. Late readings and rows that are none of ours do not count. */
export function kilnTop(guide: string | null): KilnTop {
  let topC: number | null = null;
  let open: OpenReading = { key: '', sumC: 0, count: 0, guideC: null };
  /** Where each cell of the line begins, and behind the last where the next would. */
  const starts = new Int32Array(READING_COLUMNS.length + 1);

  const higher = (a: number | null, b: number) => (a === null ? b : Math.max(a, b));

  function topWithOpen(): number | null {
    if (open.guideC !== null) return higher(topC, open.guideC);
    return open.count > 0 ? higher(topC, open.sumC / open.count) : topC;
  }

  function take(lines: Buffer): void {
    const cell = (column: number, last = column) =>
      lines.toString('latin1', starts[column] ?? 0, (starts[last + 1] ?? 1) - 1);
    const key = cell(BOARD, SEQ);
    if (key !== open.key) {
      topC = topWithOpen();
      open = { key, sumC: 0, count: 0, guideC: null };
    }
    const smoothText = cell(SMOOTH);
    const smoothC = Number(smoothText);
    if (smoothText === '' || !Number.isFinite(smoothC) || cell(LATE) !== '0') return;
    open.sumC += smoothC;
    open.count += 1;
    if (guide !== null && cell(PROBE) === guide) open.guideC = smoothC;
  }

  return {
    add(lines) {
      let cells = 0;
      let start = 0;
      for (let i = 0; i < lines.length; i++) {
        const byte = lines[i];
        if (byte !== COMMA && byte !== LF) continue;
        if (cells < READING_COLUMNS.length) starts[cells] = start;
        cells += 1;
        start = i + 1;
        if (byte !== LF) continue;
        if (cells === READING_COLUMNS.length) {
          starts[cells] = start;
          take(lines);
        }
        cells = 0;
      }
    },
    topC: topWithOpen,
  };
}
