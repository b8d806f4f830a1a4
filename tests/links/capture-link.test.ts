import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Clock } from '../../collector/clock.ts';
import { captureLink } from '../../collector/links/capture-link.ts';
import type { Link, LinkHandlers } from '../../collector/links/link.ts';
import { type HandClock, handClock, runClock, runClockUntil } from './hand-clock.ts';
import { type Recorder, recorder } from './recorder.ts';

const START = Date.UTC(2031, 2, 8, 5);
const ON_DISK = { onDisk: true, stepMs: 100 };
const time = (ms: number) => new Date(START + ms).toISOString();

let folder: string;
let path: string;
let clock: HandClock;
let told: Recorder;
let link: Link | null;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'spyhole-play-'));
  path = join(folder, 'one night.capture');
  clock = handClock(START);
  told = recorder();
  link = null;
});
afterEach(async () => {
  await link?.close();
  await rm(folder, { recursive: true, force: true });
});

async function play(lines: string[]): Promise<Link> {
  await writeFile(path, `spyhole-capture 1\n${lines.map((line) => `${line}\n`).join('')}`);
  link = captureLink({ path, clock })(told);
  return link;
}
const isOver = () => told.states().some((state) => state === 'finished' || state === 'unplugged');

describe('a capture that is played', () => {
  it('hands on lines and logged entries at their own times, and nothing else', async () => {
    await play([
      `${time(0)} @ {"log":"light-up","who":"ida"}`,
      `${time(1_000)} < one`,
      `${time(1_500)} > $?*264C`,
      `${time(1_600)} # rain`,
      `${time(2_000)} < two`,
    ]);
    await runClockUntil(clock, isOver, ON_DISK);
    expect(told.lines).toEqual([
      { at: START + 1_000, text: 'one' },
      { at: START + 2_000, text: 'two' },
    ]);
    expect(told.entries).toEqual([{ at: START, entry: { log: 'light-up', who: 'ida' } }]);
    expect(told.standings).toEqual([
      { state: 'connecting', text: `Opening ${path}.` },
      { state: 'open', text: `Playing ${path}.` },
      { state: 'finished', text: `${path} has been played to its end.` },
    ]);
    expect(told.drops).toBe(0);
  });

  it('hands on nothing before its time, also with a clock whose time-outs come too soon', async () => {
    const hasty: Clock = { ...clock, after: (ms, fn) => clock.after(Math.max(1, ms - 7), fn) };
    const early: number[] = [];
    const checking: LinkHandlers = { ...told, line: (at) => void early.push(at - clock.now()) };
    await writeFile(
      path,
      `spyhole-capture 1\n${Array.from({ length: 50 }, (_, n) => `${time(n * 130)} < ${n}\n`).join('')}`,
    );
    link = captureLink({ path, clock: hasty })(checking);
    await runClockUntil(clock, () => early.length === 50, { onDisk: true, stepMs: 33 });
    expect(Math.max(...early)).toBeLessThanOrEqual(0);
  });

  it('holds a line back until the clock is there', async () => {
    await play([`${time(0)} < now`, `${time(3_600_000)} < in an hour`]);
    await runClock(clock, 2_000, ON_DISK);
    expect(told.texts()).toEqual(['now']);
    clock.advance(3_590_000);
    await runClock(clock, 500, ON_DISK);
    expect(told.texts()).toEqual(['now']);
    clock.advance(10_000);
    await runClockUntil(clock, isOver, ON_DISK);
    expect(told.texts()).toEqual(['now', 'in an hour']);
  });

  it('counts what is no record, and an entry that is no JSON', async () => {
    await play([`${time(0)} @ {"log":`, 'nonsense', `${time(1)} < after`]);
    await runClockUntil(clock, isOver, ON_DISK);
    expect(told.drops).toBe(2);
    expect(told.texts()).toEqual(['after']);
  });

  it('closes while it waits, and is silent from then on', async () => {
    const playing = await play([`${time(0)} < now`, `${time(60_000)} < later`]);
    await runClockUntil(clock, () => told.lines.length === 1, ON_DISK);
    playing.send('$?*264C');
    playing.reopen();
    await playing.close();
    await runClock(clock, 120_000, { onDisk: true, stepMs: 30_000 });
    expect(told.texts()).toEqual(['now']);
    expect(told.states()).toEqual(['connecting', 'open']);
    expect(clock.waiting()).toBe(0);
  });

  it('says in one sentence when the file is no capture', async () => {
    await writeFile(path, 'minutes,degrees\n');
    link = captureLink({ path, clock })(told);
    await runClockUntil(clock, isOver, ON_DISK);
    expect(told.standings.at(-1)).toEqual({
      state: 'unplugged',
      text: `${path} is no capture: its first line must be 'spyhole-capture 1'.`,
    });
    expect(link.name).toBe('one-night.capture');
  });
});
