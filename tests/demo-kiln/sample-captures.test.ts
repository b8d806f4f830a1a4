/** The sample captures are what the demo kiln gives, and hold what their README says. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { SAMPLE_FIRINGS, type SampleFiring } from '../../collector/demo-kiln/sample-firings.ts';
import { writeSampleCaptures } from '../../collector/demo-kiln/write-sample-captures.ts';
import { type BoardLine, parseBoardLine, parseCollectorLine } from '../../protocol/board-lines.ts';
import { type CaptureLine, isCaptureHeader, parseCaptureLine } from '../../protocol/capture.ts';
import { knownLogEntrySchema } from '../../protocol/log-entries.ts';
import { trueFiring, trueStalls } from './true-firing.ts';

const FOLDER = join(import.meta.dirname, '../../sample-captures');
const MOST_BYTES = 450_000;

const textOf = (file: string) => readFileSync(join(FOLDER, file), 'utf8');

function firingIn(file: string): SampleFiring {
  const firing = SAMPLE_FIRINGS.find((each) => each.file === file);
  if (!firing) throw new Error(`no sample is called ${file}`);
  return firing;
}

interface Contents {
  records: CaptureLine[];
  heard: { at: number; line: BoardLine }[];
  badWhy: string[];
  logged: ReturnType<typeof knownLogEntrySchema.parse>[];
  asked: string[];
}

function contentsOf(file: string): Contents {
  const [header = '', ...lines] = textOf(file).trimEnd().split('\n');
  expect(isCaptureHeader(header)).toBe(true);
  const contents: Contents = { records: [], heard: [], badWhy: [], logged: [], asked: [] };
  for (const text of lines) {
    const record = parseCaptureLine(text);
    if (record === null) throw new Error(`not a line of a capture: ${text}`);
    contents.records.push(record);
    if (record.direction === '@') contents.logged.push(knownLogEntrySchema.parse(JSON.parse(record.text)));
    if (record.direction === '>') {
      const asked = parseCollectorLine(record.text);
      if (!asked.ok) throw new Error(record.text);
      contents.asked.push(asked.line.kind);
    }
    if (record.direction !== '<') continue;
    const parsed = parseBoardLine(record.text);
    if (parsed.ok) contents.heard.push({ at: record.at, line: parsed.line });
    else contents.badWhy.push(parsed.why);
  }
  return contents;
}

const readingsIn = ({ heard }: Contents) =>
  heard.flatMap(({ at, line }) => (line.kind === 'reading' ? [{ at, ...line }] : []));
const hellosIn = ({ heard }: Contents) =>
  heard.flatMap(({ line }) => (line.kind === 'hello' ? [line.hello] : []));
const missingIn = ({ heard }: Contents) =>
  heard.flatMap(({ line }) => (line.kind === 'missing' ? [line] : []));

it('are, byte for byte, what their seeds give', () => {
  const folder = mkdtempSync(join(tmpdir(), 'samples-'));
  try {
    writeSampleCaptures(folder);
    for (const { file } of SAMPLE_FIRINGS)
      expect(readFileSync(join(folder, file), 'utf8') === textOf(file), file).toBe(true);
  } finally {
    rmSync(folder, { recursive: true });
  }
}, 120_000);

describe.each(SAMPLE_FIRINGS.map(({ file }) => file))('%s', (file) => {
  it('is small, in order of time, and goes from a cold kiln to hours of cooling', () => {
    const contents = contentsOf(file);
    expect(textOf(file).length).toBeLessThan(MOST_BYTES);
    const times = contents.records.map(({ at }) => at);
    expect(times).toEqual([...times].sort((a, b) => a - b));
    const [first, last] = [times[0], times.at(-1)];
    expect(((last ?? 0) - (first ?? 0)) / 3_600_000).toBeGreaterThan(27);
  });
});

describe('good-firing.capture', () => {
  const contents = contentsOf('good-firing.capture');

  it('has every reading once, and no bad line', () => {
    expect(contents.badWhy).toEqual([]);
    expect(readingsIn(contents).map(({ seq }) => seq)).toEqual(readingsIn(contents).map((_, i) => i));
    expect(contents.asked).toEqual(['hello?']);
  });

  it('logs the plan first, then the whole firing in its order', () => {
    const logs = contents.logged.map(({ log }) => log);
    const turns = logs.filter((log) => !['stoke', 'damper', 'note', 'weather', 'atmosphere'].includes(log));
    expect(turns[0]).toBe('plan');
    expect(turns[1]).toBe('light-up');
    expect(turns.at(-1)).toBe('clam-up');
    expect(turns.indexOf('end-salt')).toBeGreaterThan(turns.indexOf('salt'));
    expect(logs.filter((log) => log === 'stoke').length).toBeGreaterThan(100);
    expect(logs.filter((log) => log === 'draw')).toHaveLength(4);
    const saltG = contents.logged.reduce(
      (sum, entry) => sum + (entry.log === 'salt' && typeof entry.g === 'number' ? entry.g : 0),
      0,
    );
    expect(saltG).toBe(22_700);
  });

  it('did not stall', () => {
    const { board } = firingIn('good-firing.capture');
    expect(trueStalls(trueFiring(board, 26))).toEqual([]);
  });
});

describe('wet-wood-two-stalls.capture', () => {
  const contents = contentsOf('wet-wood-two-stalls.capture');

  it('has no log at all, and no bad line', () => {
    expect(contents.logged).toEqual([]);
    expect(contents.badWhy).toEqual([]);
  });

  // Told of: 800 to 900 °F (427 to 482 °C) for hours on wet wood, and 1100 °C (several).
  it('stalled twice, near 470 and near 1060 °C, for an hour and more', () => {
    const { board } = firingIn('wet-wood-two-stalls.capture');
    const stalls = trueStalls(trueFiring(board, 29)).filter(({ from, to }) => to - from >= 10);
    expect(stalls).toHaveLength(2);
    expect(stalls.map(({ atC }) => Math.round(atC / 50) * 50)).toEqual([450, 1050]);
    for (const { from, to } of stalls) expect(to - from).toBeGreaterThan(60);
  });
});

describe('failing-probe-pulled-cable-restart.capture', () => {
  const contents = contentsOf('failing-probe-pulled-cable-restart.capture');

  it('has one torn line and some with a wrong character', () => {
    expect(contents.badWhy.filter((why) => why === 'not-framed')).toHaveLength(1);
    const garbled = contents.badWhy.filter((why) => why === 'bad-crc');
    expect(garbled.length).toBeGreaterThanOrEqual(2);
    expect(garbled.length).toBe(contents.badWhy.length - 1);
  });

  it('has an hour of silence, after which what is kept is sent again and the rest is missing', () => {
    const readings = readingsIn(contents);
    const gap = readings.findIndex(({ at }, i) => at - (readings[i - 1]?.at ?? at) > 3_600_000);
    const [before, after] = [readings[gap - 1], readings[gap]];
    if (!before || !after) throw new Error('no gap');
    expect(after.seq - before.seq).toBeGreaterThan(180);
    const again = readings.filter(
      ({ at, seq }) => at >= after.at && at < after.at + 5_000 && seq < after.seq,
    );
    expect(again.length).toBeGreaterThan(100);
    expect(contents.asked.filter((kind) => kind === 'give').length).toBeGreaterThan(1);
    expect(missingIn(contents)).toHaveLength(1);
    const [missing] = missingIn(contents);
    expect(missing?.from).toBe(before.seq + 1);
    expect((missing?.to ?? 0) + 1).toBe(again[0]?.seq);
  });

  it('restarts once', () => {
    expect(new Set(hellosIn(contents).map(({ boot }) => boot)).size).toBe(2);
    const seqs = readingsIn(contents).map(({ seq }) => seq);
    expect(seqs.filter((seq) => seq === 0)).toHaveLength(2);
  });

  it('loses its upper front probe for good', () => {
    const values = readingsIn(contents).map((reading) => reading.values[1]);
    const firstOpen = values.indexOf('!open');
    expect(firstOpen).toBeGreaterThan(1000);
    expect(values.slice(firstOpen).filter((value) => value !== '!open').length).toBeGreaterThan(5);
    expect(values.slice(-1000).every((value) => value === '!open')).toBe(true);
  });

  it('logs the plan first and no stoke', () => {
    expect(contents.logged[0]?.log).toBe('plan');
    expect(contents.logged.some(({ log }) => log === 'stoke')).toBe(false);
    expect(contents.logged.some(({ log }) => log === 'clam-up')).toBe(true);
  });
});
