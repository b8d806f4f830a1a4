/** The real library on a real pseudo-terminal: opened, written to, pulled out, plugged in again. */
import { execFileSync } from 'node:child_process';
import { closeSync, constants, openSync, readdirSync, readSync, writeSync } from 'node:fs';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { SerialPort } from 'serialport';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { systemClock } from '../../collector/clock.ts';
import type { Link } from '../../collector/links/link.ts';
import { serialLink } from '../../collector/links/serial.ts';
import { ownCommand } from '../../collector/own-command.ts';
import { hasSocat, openPty, type Pty } from '../support/pty.ts';
import { type Recorder, recorder } from './recorder.ts';

/** The link's time-outs run faster than the wall clock, so that the tests do not sit through its back-off. */
const RATE = 10;
const PATIENT = { timeout: 15_000, interval: 10 };

let told: Recorder;
let link: Link | null = null;

function open(path: string): Link {
  told = recorder();
  link = serialLink({ path, baudRate: 115_200, clock: systemClock(Date.UTC(2031, 2, 8), RATE) })(told);
  return link;
}
const soon = (check: () => void) => vi.waitFor(check, PATIENT);
const standing = (state: string) => soon(() => expect(told.states().at(-1)).toBe(state));

afterEach(async () => {
  await link?.close();
  link = null;
});

describe.skipIf(!hasSocat())('serial over a pty (needs socat)', { timeout: 30_000 }, () => {
  let cable: Pty;
  let board: SerialPort;
  let heard: string;

  async function openBoard(): Promise<void> {
    board = new SerialPort({ path: cable.boardEnd, baudRate: 115_200, autoOpen: false });
    board.on('error', () => undefined);
    board.on('data', (bytes: Buffer) => {
      heard += bytes.toString('latin1');
    });
    await new Promise<void>((resolve, reject) => board.open((error) => (error ? reject(error) : resolve())));
  }
  const closeBoard = () =>
    new Promise<void>((resolve) => (board.isOpen ? board.close(() => resolve()) : resolve()));

  beforeEach(async () => {
    heard = '';
    cable = await openPty();
    await openBoard();
  });
  afterEach(async () => {
    await link?.close();
    await closeBoard();
    await cable.close();
  });

  it('hands on what the board says, and sends to the board', async () => {
    const opened = open(cable.collectorEnd);
    await standing('open');
    board.write('$?*264C\r\n$L,2*F1CA\n');
    await soon(() => expect(told.texts()).toEqual(['$?*264C', '$L,2*F1CA']));
    opened.send('$G,5,9*D568');
    await soon(() => expect(heard).toBe('$G,5,9*D568\n'));
  });

  it('drops a torn first line and an overlong one, and goes on with the next', async () => {
    open(cable.collectorEnd);
    await standing('open');
    board.write(`18.50,12,3*3085\n$?*264C\n${'x'.repeat(5_000)}\n$L,2*F1CA\n`);
    await soon(() => expect(told.texts()).toEqual(['$?*264C', '$L,2*F1CA']));
    expect(told.drops).toBe(2);
  });

  it('reconnects when the cable was pulled and is back, and lines go on', async () => {
    open(cable.collectorEnd);
    await standing('open');
    board.write('$before*0000\n');
    await soon(() => expect(told.texts()).toEqual(['$before*0000']));
    await closeBoard();
    await cable.pull();
    await standing('unplugged');
    expect(told.standings.at(-1)?.text).toContain('was unplugged: plug the board in again');
    await cable.plug();
    await openBoard();
    await standing('open');
    board.write('$after*0000\n');
    await soon(() => expect(told.texts()).toEqual(['$before*0000', '$after*0000']));
  });

  it('goes on hearing a board that never takes what is sent to it', async () => {
    await closeBoard();
    const deaf = openSync(cable.boardEnd, constants.O_RDWR | constants.O_NOCTTY | constants.O_NONBLOCK);
    const opened = open(cable.collectorEnd);
    await standing('open');
    await vi.waitFor(() => {
      for (let times = 0; times < 500; times += 1) opened.send('$L,2*F1CA');
      expect(told.standings.at(-1)?.text).toMatch(/is open, but takes nothing from us/);
    }, PATIENT);
    // socat itself may be stuck with what nobody took: it is taken now, as a board does that has its buffer emptied.
    const drain = Buffer.alloc(65_536);
    await soon(() => {
      try {
        while (readSync(deaf, drain) > 0);
      } catch (error) {
        expect(error).toMatchObject({ code: 'EAGAIN' });
      }
      writeSync(deaf, '$still*0000\n');
      expect(told.texts()).toContain('$still*0000');
    });
    closeSync(deaf);
  });

  it('starts without a board, and opens when there is one', async () => {
    await closeBoard();
    await cable.pull();
    open(cable.collectorEnd);
    await standing('unplugged');
    expect(told.standings.at(-1)?.text).toMatch(/^There is no port .*: plug the board in/);
    await cable.plug();
    await openBoard();
    await standing('open');
    board.write('$hello*0000\n');
    await soon(() => expect(told.texts()).toEqual(['$hello*0000']));
  });

  it('says that another program has the port, and opens it when that lets go', async () => {
    const other = new SerialPort({ path: cable.collectorEnd, baudRate: 115_200, autoOpen: false });
    await new Promise<void>((resolve, reject) => other.open((error) => (error ? reject(error) : resolve())));
    open(cable.collectorEnd);
    await standing('unplugged');
    expect(told.standings.at(-1)?.text).toMatch(/^Another program has .* open: close it/);
    await new Promise<void>((resolve) => other.close(() => resolve()));
    await standing('open');
  });

  it('leaves DTR up on closing, so that the board does not restart', async () => {
    const stty = (...settings: string[]) =>
      execFileSync('stty', [process.platform === 'linux' ? '-F' : '-f', cable.collectorEnd, ...settings], {
        encoding: 'utf8',
      });
    stty('hupcl');
    open(cable.collectorEnd);
    await standing('open');
    await soon(() => expect(stty('-a')).toMatch(/\s-hupcl\s/));
  });

  it('leaks no file descriptor however often it is opened', async () => {
    const opened = open(cable.collectorEnd);
    await standing('open');
    const descriptors = () => readdirSync('/dev/fd').length;
    const before = descriptors();
    for (let times = 2; times <= 9; times += 1) {
      opened.reopen();
      await soon(() => expect(told.states().filter((state) => state === 'open').length).toBe(times));
    }
    await soon(() => expect(descriptors()).toBeLessThanOrEqual(before));
    board.write('$still*0000\n');
    await soon(() => expect(told.texts()).toEqual(['$still*0000']));
    await opened.close();
    await soon(() => expect(descriptors()).toBeLessThan(before));
  });
});

describe('a path that is no serial port', () => {
  let folder: string;
  beforeEach(async () => {
    folder = await mkdtemp(join(tmpdir(), 'spyhole-no-port-'));
  });
  afterEach(async () => {
    await link?.close();
    await rm(folder, { recursive: true, force: true });
  });

  it('is told in one sentence: a file, a folder, nothing at all', async () => {
    const file = join(folder, 'notes.txt');
    await writeFile(file, 'cone 6 at the back\n');
    const sentences: (string | undefined)[] = [];
    for (const path of [file, folder, join(folder, 'nothing')]) {
      open(path);
      await standing('unplugged');
      sentences.push(told.standings.at(-1)?.text);
      await link?.close();
      expect(told.standings.length).toBe(2);
    }
    expect(sentences).toEqual([
      `${file} is no serial port: see with '${ownCommand('ports')}' which ports there are.`,
      `${folder} is a folder and no serial port: see with '${ownCommand('ports')}' which ports there are.`,
      `There is no port ${join(folder, 'nothing')}: plug the board in, or see with '${ownCommand('ports')}' which ports there are.`,
    ]);
  });
});
