/** The computer's clock is set in mid-firing, the board's counters roll over, the collector is started again: nothing moves. */
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { findRunning, lastSeen } from '../../collector/archive/firings.ts';
import { kilnFigures } from '../../collector/core/figures.ts';
import { leaveMark, markedTime, type Uptime } from '../../collector/firing/clock-mark.ts';
import { newWallWatch, watchWall } from '../../collector/firing/wall-clock.ts';
import { deskStep } from '../../collector/lines/desk.ts';
import { formatBoardLine } from '../../protocol/board-lines.ts';
import { readCsv } from '../support/archive-file.ts';
import { tempFolder } from '../support/collector.ts';
import { type ScriptedWatch, SHED, START, scriptedWatch } from './scripted-watch.ts';

const HOUR = 3_600_000;
const folders: { path: string; remove: () => void }[] = [];
afterEach(() => {
  for (const folder of folders.splice(0)) folder.remove();
});
function folder(): string {
  const made = tempFolder();
  folders.push(made);
  return made.path;
}

/** A kiln that climbs steadily, read once a second from where the clock stands. */
function climb({ clock, link }: ScriptedWatch, from: number, count: number, uptime0 = 0): void {
  for (let n = 0; n < count; n += 1) {
    clock.advance(1000);
    const seq = from + n;
    const values = [20 + seq / 30];
    const uptimeMs = (uptime0 + seq * 1000) >>> 0;
    link.line(clock.now(), formatBoardLine({ kind: 'reading', seq, uptimeMs, coldJunctionC: 20, values }));
  }
}

/** The kiln's figures after the same climb, when nothing happens to any clock. */
async function undisturbed() {
  const scripted = await scriptedWatch();
  scripted.hello();
  climb(scripted, 0, 600);
  return kilnFigures(scripted.firing.beginning.pipeline.core, scripted.clock.now());
}

async function rowsOf({ firing }: ScriptedWatch) {
  await firing.archive.flush();
  return readCsv(join(firing.archive.folder, 'readings.csv'));
}
const seconds = (rows: Record<string, string>[]) =>
  rows.map((row) => (Date.parse(row.time ?? '') - START) / 1000);

describe('a system clock that is set by an hour in mid-firing', () => {
  it.each([
    ['back', -HOUR],
    ['forward', HOUR],
  ])('%s: every interval, the climb and the order stay, and it is noted once', async (way, stepMs) => {
    const scripted = await scriptedWatch();
    scripted.hello();
    climb(scripted, 0, 300);
    scripted.wall.offMs = stepMs;
    climb(scripted, 300, 300);
    const rows = await rowsOf(scripted);
    expect(seconds(rows)).toEqual(Array.from({ length: 600 }, (_, n) => n + 1));
    expect(rows.map((row) => Number(row.arrival))).toEqual(rows.map((_, n) => n));
    const { core } = scripted.firing.beginning.pipeline;
    expect(kilnFigures(core, scripted.clock.now())).toEqual(await undisturbed());
    const notes = (await scripted.logRows()).filter(({ json }) => json?.includes('clock was set'));
    expect(notes).toHaveLength(1);
    expect(JSON.parse(notes[0]?.json ?? '').note).toContain(`was set ${way} by 60 min`);
  });

  it('a clock that is drawn right slowly (500 ppm, as NTP does) is no step', () => {
    const wall = newWallWatch();
    const told: (string | null)[] = [];
    for (let s = 0; s < 20_000; s += 1) told.push(watchWall(wall, s * 1000 * 1.0005, s * 1000));
    expect(told.filter((text) => text !== null)).toEqual([]);
  });
});

it('the roll-over of uptime at 49.7 days moves nothing', async () => {
  const scripted = await scriptedWatch();
  scripted.hello();
  climb(scripted, 0, 600, 2 ** 32 - 300_000);
  const rows = await rowsOf(scripted);
  expect(rows.some((row) => Number(row.uptime_ms) > 2 ** 32 - 2000)).toBe(true);
  expect(rows.some((row) => Number(row.uptime_ms) < 2000)).toBe(true);
  expect(seconds(rows)).toEqual(Array.from({ length: 600 }, (_, n) => n + 1));
  expect(rows.every((row) => row.late === '0')).toBe(true);
  const { core } = scripted.firing.beginning.pipeline;
  expect(kilnFigures(core, scripted.clock.now())).toEqual(await undisturbed());
});

describe('a firing that is gone on with', () => {
  const machine = (run: string | null, ms: number): Uptime => ({ run: async () => run, ms: () => ms });

  it('keeps its time through any setting of the clock, while the computer runs', async () => {
    const data = folder();
    await leaveMark(data, START + 500_000, machine('run-1', 7_000_000));
    expect(await markedTime(data, 1, machine('run-1', 7_060_000))).toBe(START + 560_000);
    expect(await markedTime(data, 10, machine('run-1', 7_060_000))).toBe(START + 1_100_000);
  });

  it('asks the system clock where the computer was started anew, or names no run', async () => {
    const data = folder();
    expect(await markedTime(data, 1, machine('run-1', 5))).toBeNull();
    await leaveMark(data, START, machine('run-1', 7_000_000));
    expect(await markedTime(data, 1, machine('run-2', 7_060_000))).toBeNull();
    expect(await markedTime(data, 1, machine(null, 7_060_000))).toBeNull();
    expect(await markedTime(data, 1, machine('run-1', 6_000_000))).toBeNull();
  });

  it('is found though the clock fell back to before its last four days, but not to long before it began', async () => {
    const scripted = await scriptedWatch();
    scripted.hello();
    scripted.clock.skip(4 * 24 * HOUR);
    climb(scripted, 0, 5);
    await scripted.firing.archive.flush();
    const { archive } = scripted.firing;
    const data = join(archive.folder, '..');
    const seen = (await lastSeen(archive.folder)) ?? 0;
    expect(seen).toBeGreaterThan(START + 4 * 24 * HOUR);
    expect(await findRunning(data, START)).toBe(archive.id);
    expect(await findRunning(data, START - 47 * HOUR)).toBe(archive.id);
    expect(await findRunning(data, START - 49 * HOUR)).toBeNull();
    expect(await findRunning(data, seen + 47 * HOUR)).toBe(archive.id);
    expect(await findRunning(data, seen + 49 * HOUR)).toBeNull();
    // A clock that was never set since the computer was switched on says nothing.
    expect(await findRunning(data, Date.UTC(1970, 0, 1))).toBe(archive.id);
    rmSync(archive.folder, { recursive: true, force: true });
  });

  it("whose computer is behind by the board's clock goes on by the board's, and says so", async () => {
    const scripted = await scriptedWatch();
    const { firing, clock, said } = scripted;
    // What an archive would have told: twenty minutes of readings up to now.
    const { board, boot } = SHED;
    const { pipeline } = firing.beginning;
    const desk = pipeline.desks.get('');
    if (!desk) throw new Error('there is no desk');
    deskStep(desk, { kind: 'adopt-hello', hello: SHED });
    for (let seq = 0; seq <= 1200; seq += 1)
      deskStep(desk, {
        kind: 'adopt',
        row: { at: START - 1_200_000 + seq * 1000, board, boot, seq, uptimeMs: seq * 1000, late: false },
      });
    scripted.hello();
    const before = clock.now();
    // The board has counted ten minutes on, the computer none.
    scripted.link.line(
      clock.now(),
      formatBoardLine({ kind: 'reading', seq: 1800, uptimeMs: 1_800_000, coldJunctionC: 20, values: [500] }),
    );
    expect(clock.now() - before).toBeGreaterThan(599_000);
    const rows = await rowsOf(scripted);
    expect(seconds(rows)).toEqual([600]);
    expect(said.some((text) => text.includes('10 min later than this computer'))).toBe(true);
  });
});
