import { mkdir, mkdtemp, rename, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Link } from '../../collector/links/link.ts';
import { serialLink } from '../../collector/links/serial.ts';
import { type FakeOpener, fakeOpener, fakePort } from './fake-port.ts';
import { type HandClock, handClock, runClock, runClockUntil } from './hand-clock.ts';
import { type Recorder, recorder } from './recorder.ts';

// Paths that are no file paths (as COM3), so that nothing is looked for on the disk of the machine that tests.
const PATH = 'COM3';

let clock: HandClock;
let told: Recorder;
let link: Link | null;

beforeEach(() => {
  clock = handClock(1_000_000);
  told = recorder();
  link = null;
});
afterEach(async () => {
  const closed = link?.close();
  await runClock(clock, 5_000, { stepMs: 500 });
  await closed;
});

function start(opener: FakeOpener, path = PATH, byIdFolder = '/nowhere/by-id'): Link {
  link = serialLink({ path, baudRate: 115_200, clock, openPort: opener.open, byIdFolder })(told);
  return link;
}

describe('a serial link that is open', () => {
  it('tells that it opens, then that it is open, and hands on lines with the time of the clock', async () => {
    const opener = fakeOpener(fakePort);
    start(opener);
    await runClockUntil(clock, () => told.states().includes('open'));
    expect(opener.tries).toEqual([{ path: PATH, baudRate: 115_200 }]);
    expect(told.standings).toEqual([
      { state: 'connecting', text: 'Opening COM3.' },
      { state: 'open', text: 'COM3 is open.' },
    ]);
    const at = clock.now();
    opener.ports[0]?.source.write('$?*264C\r\nplain 21.5\n');
    await runClock(clock, 0);
    await runClockUntil(clock, () => told.lines.length === 2);
    expect(told.lines[0]).toEqual({ at, text: '$?*264C' });
    expect(told.texts()).toEqual(['$?*264C', 'plain 21.5']);
  });

  it('says nothing of a port that opens and closes at once, but that it is unplugged', async () => {
    const opener = fakeOpener(() => {
      const port = fakePort();
      setImmediate(() => port.source.destroy());
      return port;
    });
    start(opener);
    await runClockUntil(clock, () => opener.tries.length === 4);
    expect(told.states()).toEqual(['connecting', 'unplugged']);
  });

  it('sends whole lines with a newline, and nothing while it is down', async () => {
    const opener = fakeOpener(() => new Error('Opening COM3: File not found'), fakePort);
    const open = start(opener);
    open.send('$L,2*F1CA');
    await runClockUntil(clock, () => told.states().includes('open'));
    open.send('$?*264C');
    expect(opener.ports[0]?.sent).toEqual(['$?*264C\n']);
  });

  it('drops what is sent to a port that does not drain, so that memory stays bounded', async () => {
    const opener = fakeOpener(() => fakePort({ drains: false }));
    const open = start(opener);
    await runClockUntil(clock, () => told.states().includes('open'));
    for (let n = 0; n < 10_000; n += 1) open.send('$L,2*F1CA');
    expect(opener.ports[0]?.sink.writableLength).toBeLessThanOrEqual(1_024);
    expect(opener.ports[0]?.sink.writableLength).toBeGreaterThan(1_000);
  });

  it('opens a port anew that takes nothing for long, says so, and then leaves it in peace', async () => {
    const opener = fakeOpener(() => fakePort({ drains: false }), fakePort);
    const open = start(opener);
    await runClockUntil(clock, () => told.states().includes('open'));
    open.send('$L,2*F1CA');
    await runClockUntil(clock, () => opener.ports.length === 2 && told.standings.length === 3);
    expect(told.standings.at(-1)).toEqual({
      state: 'open',
      text: 'COM3 is open, but takes nothing from us: a lamp or buzzer on the board stays silent.',
    });
    open.send('$L,2*F1CA');
    expect(opener.ports[1]?.sent).toEqual([]);
    await runClock(clock, 610_000, { stepMs: 5_000 });
    expect(told.standings.at(-1)).toEqual({ state: 'open', text: 'COM3 is open.' });
    open.send('$L,2*F1CA');
    expect(opener.ports[1]?.sent).toEqual(['$L,2*F1CA\n']);
  });

  it('says that the speed is likely wrong while bytes come that are no text, and takes it back', async () => {
    const opener = fakeOpener(fakePort);
    start(opener);
    await runClockUntil(clock, () => told.states().includes('open'));
    opener.ports[0]?.source.write(Buffer.alloc(200, 0xf8));
    await runClockUntil(clock, () => told.standings.length === 3);
    expect(told.standings.at(-1)?.text).toMatch(/the speed is likely wrong.*115200 baud.*--baud/);
    opener.ports[0]?.source.write('\nlow 21.5 high 22.5, low 21.5 high 22.5\n');
    await runClockUntil(clock, () => told.standings.length === 4);
    expect(told.standings.at(-1)?.text).toBe('COM3 is open.');
  });
});

describe('a serial link that breaks', () => {
  it.each([
    ['error, then close', ['error', 'close']],
    ['close, then error', ['close', 'error']],
    ['error, error, close, end', ['error', 'error', 'close', 'end']],
    ['end alone', ['end']],
  ])('reconnects once after %s', async (_what, events) => {
    const opener = fakeOpener(fakePort);
    start(opener);
    await runClockUntil(clock, () => told.states().includes('open'));
    const [port] = opener.ports;
    for (const event of events) port?.source.emit(event, new Error('Input/output error'));
    port?.sink.emit('error', new Error('write EIO'));
    await runClock(clock, 60_000, { stepMs: 500 });
    expect(opener.tries.length).toBe(2);
    expect(told.states()).toEqual(['connecting', 'open', 'unplugged', 'open']);
    expect(port?.isOpen()).toBe(false);
  });

  it('hears nothing more of a connection that it has let go of, and survives its late errors', async () => {
    const opener = fakeOpener(fakePort);
    start(opener);
    await runClockUntil(clock, () => told.states().includes('open'));
    const [port] = opener.ports;
    port?.source.write('$first*0000\n');
    await runClockUntil(clock, () => told.lines.length === 1);
    port?.source.emit('error', new Error('one'));
    port?.source.write('$late*0000\n');
    port?.source.emit('error', new Error('two'));
    port?.sink.emit('error', new Error('three'));
    await runClock(clock, 5_000);
    port?.source.emit('error', new Error('four'));
    expect(told.texts()).toEqual(['$first*0000']);
    expect(opener.tries.length).toBe(2);
    expect(port?.listeners('data')).toBe(0);
  });

  it('never gives out a torn tail as a line, and counts it', async () => {
    const opener = fakeOpener(fakePort);
    start(opener);
    await runClockUntil(clock, () => told.states().includes('open'));
    opener.ports[0]?.source.write('$whole*0000\n$torn,12');
    await runClockUntil(clock, () => told.lines.length === 1);
    opener.ports[0]?.source.end();
    await runClockUntil(clock, () => opener.ports.length === 2);
    opener.ports[1]?.source.write('34*0000\n$next*0000\n');
    await runClockUntil(clock, () => told.lines.length === 2);
    expect(told.texts()).toEqual(['$whole*0000', '$next*0000']);
    expect(told.drops).toBe(2);
  });

  it('tries for ever, more and more seldom down to every 10 s, and says why once', async () => {
    const opener = fakeOpener(() => new Error('Opening COM3: Access denied'));
    start(opener);
    const at: number[] = [];
    for (let tries = 1; tries <= 12; tries += 1) {
      await runClockUntil(clock, () => opener.tries.length === tries);
      at.push(clock.now());
    }
    const gaps = at.slice(1).map((time, index) => time - (at[index] ?? 0));
    expect(gaps.slice(0, 5)).toEqual([500, 1_000, 2_000, 4_000, 8_000]);
    expect(new Set(gaps.slice(5))).toEqual(new Set([10_000]));
    expect(told.standings).toEqual([
      { state: 'connecting', text: 'Opening COM3.' },
      { state: 'unplugged', text: expect.stringMatching(/^Another program has COM3 open: close it/) },
    ]);
  });

  it('waits for an opening that takes long instead of starting a second beside it', async () => {
    let answer: (port: ReturnType<typeof fakePort>) => void = () => undefined;
    const opener = fakeOpener(
      () =>
        new Promise((resolve) => {
          answer = resolve;
        }),
    );
    start(opener);
    await runClock(clock, 120_000, { stepMs: 1_000 });
    expect(opener.tries.length).toBe(1);
    expect(told.standings.at(-1)?.state).toBe('unplugged');
    answer(fakePort());
    await runClockUntil(clock, () => told.states().includes('open'));
  });

  it('goes on when a port does not close', async () => {
    const opener = fakeOpener(() => fakePort({ closes: false }), fakePort);
    start(opener);
    await runClockUntil(clock, () => told.states().includes('open'));
    opener.ports[0]?.source.emit('error', new Error('gone'));
    await runClockUntil(clock, () => opener.ports.length === 2);
  });

  it('never has more than one time-out set', async () => {
    const opener = fakeOpener(fakePort, () => new Error('busy'), fakePort);
    const open = start(opener);
    for (let n = 0; n < 200; n += 1) {
      await runClock(clock, 100);
      expect(clock.waiting()).toBeLessThanOrEqual(1);
      if (n === 30) opener.ports.at(-1)?.source.emit('error', new Error('gone'));
      if (n === 80) open.reopen();
    }
    expect(told.states()).toContain('unplugged');
  });
});

describe('reopen and close', () => {
  it('closes and opens again, and says so', async () => {
    const opener = fakeOpener(fakePort);
    const open = start(opener);
    await runClockUntil(clock, () => told.states().includes('open'));
    open.reopen();
    open.reopen();
    await runClock(clock, 3_000);
    expect(opener.tries.length).toBe(2);
    expect(opener.ports[0]?.isOpen()).toBe(false);
    expect(told.states()).toEqual(['connecting', 'open', 'connecting', 'open']);
  });

  it('opens again as soon the fifth time as the first', async () => {
    const opener = fakeOpener(fakePort);
    const open = start(opener);
    for (let times = 2; times <= 6; times += 1) {
      await runClock(clock, 1_000);
      open.reopen();
      await runClock(clock, 600);
      expect(opener.tries.length).toBe(times);
    }
  });

  it.each<[string, () => FakeOpener]>([
    ['is open', () => fakeOpener(fakePort)],
    ['waits for its next try', () => fakeOpener(() => new Error('busy'))],
    ['is opening and never gets there', () => fakeOpener(() => new Promise(() => undefined))],
    ['is open on a port that does not close', () => fakeOpener(() => fakePort({ closes: false }))],
  ])('closes while it %s, and is silent from then on', async (_when, opener) => {
    const used = opener();
    const open = start(used);
    await runClock(clock, 1_000);
    const before = [told.standings.length, used.tries.length];
    const closed = open.close();
    const again = open.close();
    await runClock(clock, 4_000, { stepMs: 500 });
    await Promise.all([closed, again]);
    open.send('$?*264C');
    open.reopen();
    await runClock(clock, 60_000, { stepMs: 1_000 });
    expect([told.standings.length, used.tries.length]).toEqual(before);
    expect(clock.waiting()).toBe(0);
  });

  it('closes a port that opens only after the link was closed', async () => {
    let answer: (port: ReturnType<typeof fakePort>) => void = () => undefined;
    const opener = fakeOpener(
      () =>
        new Promise((resolve) => {
          answer = resolve;
        }),
    );
    const open = start(opener);
    await runClock(clock, 100);
    const closed = open.close();
    await runClock(clock, 5_000, { stepMs: 500 });
    await closed;
    const late = fakePort();
    answer(late);
    await runClock(clock, 100);
    expect(late.isOpen()).toBe(false);
    expect(told.states()).toEqual(['connecting']);
  });
});

describe('a path that vanishes or moves', () => {
  let dev: string;
  let byId: string;
  const name = 'usb-Shed_logger_7-if00';

  beforeEach(async () => {
    dev = await mkdtemp(join(tmpdir(), 'spyhole-dev-'));
    byId = join(dev, 'by-id');
    await mkdir(byId);
  });
  afterEach(() => rm(dev, { recursive: true, force: true }));

  async function plug(device: string, known = true): Promise<void> {
    await writeFile(join(dev, device), '');
    if (known) await symlink(join(dev, device), join(byId, name));
  }
  const soon = (holds: () => boolean) => runClockUntil(clock, holds, { stepMs: 200, onDisk: true });
  async function pull(device: string): Promise<void> {
    await rm(join(dev, device));
    await rm(join(byId, name), { force: true });
  }

  it('is told as unplugged although the port still claims to be open', async () => {
    const opener = fakeOpener(fakePort);
    await plug('ttyUSB0', false);
    start(opener, join(dev, 'ttyUSB0'), byId);
    await soon(() => told.states().includes('open'));
    await pull('ttyUSB0');
    await soon(() => told.states().includes('unplugged'));
    expect(told.standings.at(-1)?.text).toBe(
      `${join(dev, 'ttyUSB0')} was unplugged: plug the board in again, and Spyhole goes on by itself.`,
    );
    expect(opener.ports[0]?.isOpen()).toBe(false);
  });

  it('is told also when another device has taken its place meanwhile', async () => {
    const opener = fakeOpener(fakePort);
    await plug('ttyUSB0', false);
    start(opener, join(dev, 'ttyUSB0'), byId);
    await soon(() => told.states().includes('open'));
    await plug('ttyUSB1', false);
    await rename(join(dev, 'ttyUSB1'), join(dev, 'ttyUSB0'));
    await soon(() => told.states().length === 4);
    expect(told.states()).toEqual(['connecting', 'open', 'unplugged', 'open']);
    expect(opener.ports.length).toBe(2);
  });

  it('finds the board by its own name when it comes back under another path', async () => {
    const opener = fakeOpener(fakePort);
    await plug('ttyUSB0');
    start(opener, join(dev, 'ttyUSB0'), byId);
    await soon(() => told.states().includes('open'));
    expect(told.standings.at(-1)?.text).toBe(
      `The board known as ${name} is open at ${join(dev, 'ttyUSB0')}; it may be plugged in at any socket.`,
    );
    await pull('ttyUSB0');
    await soon(() => told.states().includes('unplugged'));
    await plug('ttyUSB1');
    await soon(() => told.standings.length === 4);
    expect(opener.tries.at(-1)?.path).toBe(join(byId, name));
    expect(told.standings.at(-1)).toEqual({
      state: 'open',
      text: `The board known as ${name} is open at ${join(dev, 'ttyUSB1')} (it was ${join(dev, 'ttyUSB0')}); it may be plugged in at any socket.`,
    });
  });

  it('takes another board at the old path only when its own has been gone for half a minute', async () => {
    const opener = fakeOpener(fakePort);
    await plug('ttyUSB0');
    start(opener, join(dev, 'ttyUSB0'), byId);
    await soon(() => told.states().includes('open'));
    await pull('ttyUSB0');
    await soon(() => told.states().includes('unplugged'));
    const lostAt = clock.now();
    await plug('ttyUSB0', false);
    await soon(() => told.states().at(-1) === 'open');
    expect(clock.now() - lostAt).toBeGreaterThanOrEqual(29_000);
    expect(told.standings.map(({ state }) => state)).toEqual(['connecting', 'open', 'unplugged', 'open']);
    expect(told.standings.at(-1)?.text).toBe(`${join(dev, 'ttyUSB0')} is open.`);
  });
});
