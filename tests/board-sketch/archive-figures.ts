/** Holds an archive against what the board said: every reading once, in order, and as it was made. */
import { join } from 'node:path';
import { type BoardLine, parseBoardLine } from '../../protocol/board-lines.ts';
import { onlyFiring, readCsv } from '../support/archive-file.ts';
import type { BenchBoard } from './bench-board.ts';

export interface ArchiveFigures {
  /** Readings that the board made from the first to the last one in the archive. */
  made: number;
  archived: number;
  /** Of these, how many came late. */
  late: number;
  /** Sent again by the board because they were asked for. */
  sentAgain: number;
  /** Told by the board to be no longer kept. */
  toldGone: number;
  /** Made, and not in the archive. */
  missing: number;
  /** Rows that stand twice. */
  twice: number;
  /** Rows that are not as the board made them. */
  wrong: number;
  /** Rows whose `arrival` is not their place, and readings that were not late and whose time or seq went back. */
  outOfOrder: number;
  /** Readings whose time is not between those before and after them in the board's own order. */
  misplaced: number;
  /** Boots that the archive has readings of. */
  boots: number;
}

type Reading = Extract<BoardLine, { kind: 'reading' }>;

interface Made {
  place: number;
  reading: Reading;
  probes: string[];
}

/** What was made, by boot and seq, in order. */
function whatWasMade(bench: BenchBoard) {
  const made = new Map<string, Made>();
  let boot = '';
  let probes: string[] = [];
  let sentAgain = 0;
  let toldGone = 0;
  for (const { text } of bench.said) {
    const parsed = parseBoardLine(text);
    // A reset cuts a line short.
    if (!parsed.ok) continue;
    const { line } = parsed;
    if (line.kind === 'hello') {
      boot = line.hello.boot;
      probes = line.hello.probes.map(({ name }) => name);
    } else if (line.kind === 'reading') {
      const key = `${boot}/${line.seq}`;
      if (made.has(key)) sentAgain += 1;
      else made.set(key, { place: made.size, reading: line, probes });
    } else if (line.kind === 'missing') {
      toldGone += line.to - line.from + 1;
    }
  }
  return { made, sentAgain, toldGone };
}

function isAsMade(row: Record<string, string>, { reading, probes }: Made): boolean {
  const value = reading.values[probes.indexOf(row.probe ?? '')];
  const cold = reading.coldJunctionC;
  const sameValue =
    typeof value === 'number' ? row.raw !== '' && Number(row.raw) === value : row.raw === (value ?? '');
  const sameCold = cold === null ? row.cold_junction_c === '' : Number(row.cold_junction_c) === cold;
  return sameValue && sameCold && Number(row.uptime_ms) === reading.uptimeMs;
}

export function archiveFigures(bench: BenchBoard, dataFolder: string): ArchiveFigures {
  const { made, sentAgain, toldGone } = whatWasMade(bench);
  const rows = readCsv(join(onlyFiring(dataFolder), 'readings.csv'));
  const seen = new Map<string, Set<string>>();
  const late = new Set<string>();
  let [twice, wrong, outOfOrder, misplaced] = [0, 0, 0, 0];
  let lastLive = { place: -1, time: '' };
  const places: { place: number; time: string }[] = [];
  rows.forEach((row, n) => {
    const key = `${row.boot}/${row.seq}`;
    const probes = seen.get(key) ?? new Set();
    const reading = made.get(key);
    if (probes.has(row.probe ?? '')) twice += 1;
    if (reading === undefined || !isAsMade(row, reading)) wrong += 1;
    if (Number(row.arrival) !== n) outOfOrder += 1;
    if (reading !== undefined && probes.size === 0)
      places.push({ place: reading.place, time: row.time ?? '' });
    if (row.late === '1') late.add(key);
    else if (reading !== undefined && probes.size === 0) {
      const live = { place: reading.place, time: row.time ?? '' };
      if (live.place <= lastLive.place || live.time < lastLive.time) outOfOrder += 1;
      lastLive = live;
    }
    seen.set(key, probes.add(row.probe ?? ''));
  });
  const byPlace = [...places].sort((a, b) => a.place - b.place);
  for (let n = 1; n < byPlace.length; n += 1)
    if ((byPlace[n]?.time ?? '') <= (byPlace[n - 1]?.time ?? '')) misplaced += 1;
  const first = byPlace[0]?.place ?? 0;
  const last = byPlace.at(-1)?.place ?? -1;
  let missing = 0;
  for (const [key, { place, probes }] of made)
    if (place >= first && place <= last && seen.get(key)?.size !== probes.length) missing += 1;
  return {
    made: last - first + 1,
    archived: seen.size,
    late: late.size,
    sentAgain,
    toldGone,
    missing,
    twice,
    wrong,
    outOfOrder,
    misplaced,
    boots: new Set([...seen.keys()].map((key) => key.split('/')[0])).size,
  };
}
