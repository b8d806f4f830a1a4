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
const TEMP = columnAt('temp_c');
const SMOOTH = columnAt('smooth_c');
const LATE = columnAt('late');
const FLAGS = columnAt('flags');

/** The reading whose rows are being read. */
interface OpenReading {
  key: string;
  sumC: number;
  count: number;
  guideC: number | null;
  /** Of the probes that drift, which count where there are no others. */
  drifting: { sumC: number; count: number; guideC: number | null };
}

const newReading = (key: string): OpenReading => ({
  key,
  sumC: 0,
  count: 0,
  guideC: null,
  drifting: { sumC: 0, count: 0, guideC: null },
});

export interface KilnTop {
  /** Whole lines, in order. */
  add(lines: Buffer): void;
  /** The greatest smoothed temperature of the kiln, °C: as the core takes it. */
  topC(): number | null;
}

/** `guide`: the plan's, or null. Late readings and rows that are none of ours do not count. */
export function kilnTop(guide: string | null): KilnTop {
  let topC: number | null = null;
  let open = newReading('');
  /** Probes that drift, by board and name. */
  const drifting = new Set<string>();
  /** Where each cell of the line begins, and behind the last where the next would. */
  const starts = new Int32Array(READING_COLUMNS.length + 1);

  const higher = (a: number | null, b: number) => (a === null ? b : Math.max(a, b));

  function topWithOpen(): number | null {
    const { sumC, count, guideC } = open.count > 0 ? open : open.drifting;
    if (guideC !== null) return higher(topC, guideC);
    return count > 0 ? higher(topC, sumC / count) : topC;
  }

  /** A reading without a temperature has no flag of it either: then it is as it was before. */
  function isDrifting(probe: string, flags: string, tempC: string): boolean {
    if (flags.includes('drift')) drifting.add(probe);
    else if (tempC !== '') drifting.delete(probe);
    return drifting.has(probe);
  }

  function take(lines: Buffer): void {
    const cell = (column: number, last = column) =>
      lines.toString('latin1', starts[column] ?? 0, (starts[last + 1] ?? 1) - 1);
    const key = cell(BOARD, SEQ);
    if (key !== open.key) {
      topC = topWithOpen();
      open = newReading(key);
    }
    const smoothText = cell(SMOOTH);
    const smoothC = Number(smoothText);
    if (smoothText === '' || !Number.isFinite(smoothC) || cell(LATE) !== '0') return;
    const probe = cell(PROBE);
    const of = isDrifting(`${cell(BOARD)} ${probe}`, cell(FLAGS), cell(TEMP)) ? open.drifting : open;
    of.sumC += smoothC;
    of.count += 1;
    if (guide !== null && probe === guide) of.guideC = smoothC;
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
