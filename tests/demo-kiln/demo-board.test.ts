import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { convert } from '../../collector/core/couple/convert.ts';
import {
  type DemoBoardSetting,
  type DemoEvent,
  openDemoBoard,
  runDemoBoard,
  tellDemoBoard,
} from '../../collector/demo-kiln/demo-board.ts';
import { type BoardLine, formatCollectorLine, parseBoardLine } from '../../protocol/board-lines.ts';
import { knownLogEntrySchema } from '../../protocol/log-entries.ts';

const START_MS = Date.UTC(2031, 2, 8, 5);
const HOUR_MS = 3_600_000;

const setting = (more: Partial<DemoBoardSetting> = {}): DemoBoardSetting => ({
  seed: 11,
  startMs: START_MS,
  board: 'shed-1',
  periodMs: 10_000,
  keeps: 100,
  probes: [
    { spec: { name: 'low', couple: 'K', form: { kind: 'uv' } }, zone: 'front-low', noiseC: 0.5 },
    { spec: { name: 'high', couple: 'S', form: { kind: 'uv' } }, zone: 'back-high', noiseC: 0.4 },
  ],
  plan: { lightUpAfterMin: 5 },
  ...more,
});

function linesOf(events: DemoEvent[]): { at: number; text: string; line: BoardLine }[] {
  return events.flatMap((event) => {
    if (event.kind !== 'line') return [];
    const parsed = parseBoardLine(event.text);
    if (!parsed.ok) throw new Error(`${parsed.why}: ${event.text}`);
    return [{ at: event.at, text: event.text, line: parsed.line }];
  });
}

const readingsOf = (events: DemoEvent[]) =>
  linesOf(events).flatMap(({ at, text, line }) => (line.kind === 'reading' ? [{ at, text, ...line }] : []));

describe('the demo board', () => {
  it('says hello, then a reading each period, by a clock that is off by less than 100 ppm', () => {
    const events = runDemoBoard(openDemoBoard(setting()), START_MS + 2 * HOUR_MS);
    const [hello] = linesOf(events);
    expect(hello?.line.kind).toBe('hello');
    const readings = readingsOf(events);
    expect(readings.map(({ seq }) => seq)).toEqual(readings.map((_, i) => i));
    expect(readings).toHaveLength(719);
    const [first, last] = [readings[0], readings.at(-1)];
    if (!first || !last) throw new Error('no readings');
    const rate = (last.uptimeMs - first.uptimeMs) / (last.at - first.at);
    expect(Math.abs(rate - 1)).toBeLessThan(1e-4);
    expect(rate).not.toBe(1);
  });

  it('keeps to the order of time, and logs what the log book knows', () => {
    const events = runDemoBoard(openDemoBoard(setting()), START_MS + 8 * HOUR_MS);
    const times = events.map(({ at }) => at);
    expect(times).toEqual([...times].sort((a, b) => a - b));
    const entries = events.flatMap((event) => (event.kind === 'logged' ? [event.entry] : []));
    expect(entries.length).toBeGreaterThan(20);
    for (const entry of entries) expect(knownLogEntrySchema.parse(entry)).toEqual(entry);
    expect(new Set(entries.map(({ id }) => id)).size).toBe(entries.length);
    expect(entries[0]).toMatchObject({ log: 'light-up' });
  });

  it('reads what the couples see, through the conversion that the collector uses', () => {
    const board = openDemoBoard(setting());
    const [spec] = board.hello.probes;
    if (!spec) throw new Error('no probe');
    for (let hour = 1; hour <= 15; hour += 1) {
      const last = readingsOf(runDemoBoard(board, START_MS + hour * HOUR_MS)).at(-1);
      if (!last) throw new Error('no reading');
      const { tempC } = convert(spec, last.values[0] ?? null, last.coldJunctionC);
      // The noise has a standard deviation of 0.5 °C; the kiln goes on for less than a period after the reading.
      expect(Math.abs((tempC ?? Number.NaN) - board.kiln.tipC['front-low'])).toBeLessThan(8);
    }
    expect(board.kiln.tipC['front-low']).toBeGreaterThan(500);
  });

  it('says the same whether it is run in one go or in small pieces', () => {
    const whole = runDemoBoard(openDemoBoard(setting()), START_MS + 900_000);
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 60_000 }), { maxLength: 60 }), (pieces) => {
        const board = openDemoBoard(setting());
        const events: DemoEvent[] = [];
        let at = START_MS;
        for (const piece of pieces) {
          at = Math.min(at + piece, START_MS + 900_000);
          events.push(...runDemoBoard(board, at));
        }
        events.push(...runDemoBoard(board, START_MS + 900_000));
        expect(events).toEqual(whole);
      }),
      { numRuns: 40 },
    );
  });

  describe('when it is told', () => {
    const board = openDemoBoard(setting());
    const silent = tellDemoBoard(board, formatCollectorLine({ kind: 'hello?' }));
    const events = runDemoBoard(board, START_MS + HOUR_MS);
    const readings = readingsOf(events);
    const give = (from: number, to: number) =>
      tellDemoBoard(board, formatCollectorLine({ kind: 'give', from, to }));

    it('answers ? with its hello, but not while it boots', () => {
      expect(silent).toEqual([]);
      const answer = tellDemoBoard(board, formatCollectorLine({ kind: 'hello?' }));
      expect(answer).toEqual([linesOf(events)[0]?.text]);
    });

    it('gives kept readings again, byte for byte, and M for what is gone', () => {
      const next = board.nextSeq;
      expect(give(next - 5, next - 1)).toEqual(readings.slice(-5).map(({ text }) => text));
      const answers = give(next - 103, next - 98);
      expect(answers.slice(0, 3)).toEqual(readings.slice(next - 100, next - 97).map(({ text }) => text));
      expect(answers.slice(3)).toEqual([
        expect.stringMatching(new RegExp(`^\\$M,${next - 103},${next - 101}\\*`)),
      ]);
    });

    it('says nothing of readings that are still to come, to lamps, and to junk', () => {
      expect(give(board.nextSeq, board.nextSeq + 3)).toEqual([]);
      expect(tellDemoBoard(board, formatCollectorLine({ kind: 'lamp', level: 2 }))).toEqual([]);
      expect(tellDemoBoard(board, '$?*0000')).toEqual([]);
    });
  });

  it('restarts with a new boot id, counts from 0, and has forgotten what it kept', () => {
    const board = openDemoBoard(setting({ restarts: [{ hour: 0.5 }] }));
    const events = runDemoBoard(board, START_MS + HOUR_MS);
    const hellos = linesOf(events).flatMap(({ at, line }) =>
      line.kind === 'hello' ? [{ at, ...line }] : [],
    );
    expect(hellos).toHaveLength(2);
    expect(hellos[0]?.hello.boot).not.toBe(hellos[1]?.hello.boot);
    const after = readingsOf(events).filter(({ at }) => at > (hellos[1]?.at ?? 0));
    expect(after[0]).toMatchObject({ seq: 0 });
    const answers = tellDemoBoard(board, formatCollectorLine({ kind: 'give', from: 0, to: 199 }));
    expect(linesOf(answers.map((text) => ({ kind: 'line', at: 0, text })))[0]?.text).toBe(
      readingsOf(events).at(-Math.min(100, after.length))?.text,
    );
  });
});
