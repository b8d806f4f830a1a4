import { describe, expect, it } from 'vitest';
import { demoLink } from '../../collector/links/demo.ts';
import { type BoardLine, formatCollectorLine, parseBoardLine } from '../../protocol/board-lines.ts';
import { knownLogEntrySchema } from '../../protocol/log-entries.ts';
import { type HandClock, handClock } from '../links/hand-clock.ts';
import { recorder } from '../links/recorder.ts';

const START_MS = Date.UTC(2031, 2, 8, 5);
const HOUR_MS = 3_600_000;

/** A hand clock that says it is fast, so that the link wakes as it would in a demo. */
function fastClock(rate: number, startMs = START_MS): HandClock {
  return { ...handClock(startMs), rate };
}

function lineOf(text: string): BoardLine {
  const parsed = parseBoardLine(text);
  if (!parsed.ok) throw new Error(`${parsed.why}: ${text}`);
  return parsed.line;
}

describe('the demo link', () => {
  it('gives every line its own time, in order, never ahead of the clock and never far behind it', () => {
    const clock = fastClock(240);
    const told = recorder();
    const late: number[] = [];
    const link = demoLink({ clock, seed: 1 })({
      ...told,
      line: (at, text) => {
        late.push(clock.now() - at);
        told.line(at, text);
      },
    });
    clock.advance(HOUR_MS);
    expect(told.states()).toEqual(['open']);
    const times = told.lines.map(({ at }) => at);
    expect(times).toEqual([...times].sort((a, b) => a - b));
    expect(told.lines).toHaveLength(360);
    expect(Math.min(...late)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...late)).toBeLessThan(3000);
    return link.close();
  });

  it('answers ? and G', () => {
    const clock = fastClock(240);
    const told = recorder();
    const link = demoLink({ clock, seed: 1 })(told);
    clock.advance(600_000);
    const before = told.texts();
    const sent = clock.now();
    link.send(formatCollectorLine({ kind: 'hello?' }));
    link.send(formatCollectorLine({ kind: 'give', from: 3, to: 5 }));
    clock.advance(1000);
    const answers = told.lines.slice(before.length);
    expect(answers.map(({ text }) => text)).toEqual([before[0], ...before.slice(4, 7)]);
    for (const { at } of answers) expect(at).toBeGreaterThan(sent);
    return link.close();
  });

  it('gives whole milliseconds, though the system clock counts finer', () => {
    const clock = fastClock(240, START_MS + 0.37);
    const told = recorder();
    const link = demoLink({ clock, seed: 1 })(told);
    clock.advance(HOUR_MS);
    link.send(formatCollectorLine({ kind: 'hello?' }));
    clock.advance(1000);
    const times = [...told.lines, ...told.entries].map(({ at }) => at);
    expect(told.entries.length).toBeGreaterThan(1);
    expect(times.filter((at) => !Number.isInteger(at))).toEqual([]);
    return link.close();
  });

  it('is silent once it is closed', async () => {
    const clock = fastClock(240);
    const told = recorder();
    const link = demoLink({ clock, seed: 1 })(told);
    clock.advance(60_000);
    await link.close();
    const count = told.lines.length;
    clock.advance(60_000);
    expect(told.lines).toHaveLength(count);
    expect(clock.waiting()).toBe(0);
  });

  it('fires a kiln from cold to unbricking, with what people log, and is then finished', () => {
    const clock = fastClock(2400);
    const told = recorder();
    demoLink({ clock, seed: 1, periodMs: 60_000 })(told);
    for (let hour = 0; hour < 24 * 8 && !told.states().includes('finished'); hour += 1)
      clock.advance(HOUR_MS);
    expect(told.states()).toEqual(['open', 'finished']);
    expect(clock.waiting()).toBe(0);
    const entries = told.entries.map(({ entry }) => knownLogEntrySchema.parse(entry));
    const logs = entries.map(({ log }) => log);
    const order = [
      'light-up',
      'stoke',
      'damper',
      'cone-down',
      'salt',
      'draw',
      'end-salt',
      'clam-up',
      'unbricked',
    ];
    const places = order.map((log) => logs.indexOf(log as (typeof logs)[number]));
    expect(places).toEqual([...places].sort((a, b) => a - b));
    expect(places[0]).toBe(0);
    expect(new Set(entries.map(({ id }) => id)).size).toBe(entries.length);
    const kinds = told.lines.map(({ text }) => lineOf(text).kind);
    expect(kinds.filter((kind) => kind === 'hello')).toHaveLength(1);
    expect(kinds.filter((kind) => kind === 'reading').length).toBeGreaterThan(5 * 24 * 60);
  }, 120_000);

  it('fires the same kiln again for the same seed and start', () => {
    const lines = [1, 1, 2].map((seed) => {
      const clock = fastClock(240);
      const told = recorder();
      demoLink({ clock, seed })(told);
      clock.advance(HOUR_MS);
      return told.lines;
    });
    expect(lines[1]).toEqual(lines[0]);
    expect(lines[2]).not.toEqual(lines[0]);
  });
});
