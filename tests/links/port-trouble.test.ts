import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  type PortFacts,
  portFactsOf,
  portTrouble,
  readPortFacts,
} from '../../collector/links/port-trouble.ts';
import { ownCommand } from '../../collector/own-command.ts';

const LIST = ownCommand('ports');

const device: PortFacts = { node: 'device', group: null, inGroup: false, user: 'ida' };
const usb = '/dev/ttyUSB0';

describe('the sentence for a port that does not open', () => {
  // The messages are those of the serial library: its own words around strerror on POSIX, fixed texts on Windows.
  it.each<[string, string, string, Partial<PortFacts>, string]>([
    [
      'no permission, with a group that has it',
      usb,
      `Error: Permission denied, cannot open ${usb}`,
      { group: 'dialout' },
      'You may not use /dev/ttyUSB0: add yourself to the group dialout: sudo usermod -a -G dialout ida, then log out and in again.',
    ],
    [
      'no permission yet, already in the group',
      usb,
      `Error: Permission denied, cannot open ${usb}`,
      { group: 'uucp', inGroup: true },
      'You may not use /dev/ttyUSB0 yet: you are in the group uucp, which counts once you have logged out and in again.',
    ],
    [
      'no permission, and no group has it',
      usb,
      `Error: Permission denied, cannot open ${usb}`,
      {},
      'You may not use /dev/ttyUSB0: until it is plugged in again, this lets you: sudo chmod a+rw /dev/ttyUSB0',
    ],
    [
      'locked by another program',
      usb,
      'Error Resource temporarily unavailable Cannot lock port',
      {},
      'Another program has /dev/ttyUSB0 open: close it (a serial monitor, or a second Spyhole), and Spyhole goes on by itself.',
    ],
    [
      'busy',
      usb,
      `Error: Device or resource busy, cannot open ${usb}`,
      {},
      'Another program has /dev/ttyUSB0 open: close it (a serial monitor, or a second Spyhole), and Spyhole goes on by itself.',
    ],
    [
      'busy on Windows',
      'COM3',
      'Opening COM3: Access denied',
      { node: 'unknown' },
      'Another program has COM3 open: close it (a serial monitor, or a second Spyhole), and Spyhole goes on by itself.',
    ],
    [
      'missing on Windows',
      'COM3',
      'Opening COM3: File not found',
      { node: 'unknown' },
      `There is no port COM3: plug the board in, or see with '${LIST}' which ports there are.`,
    ],
    [
      'a device that is no port',
      '/dev/null',
      'Error: Inappropriate ioctl for device setting custom baud rate of 115200',
      {},
      `/dev/null is no serial port: see with '${LIST}' which ports there are.`,
    ],
    [
      'a speed that it has not',
      usb,
      'Error baud rate of 12345 is not supported on your platform',
      {},
      "/dev/ttyUSB0 does not take this speed: give the board's own with --baud, as 115200.",
    ],
    [
      'Bluetooth out of reach',
      '/dev/rfcomm0',
      'Error: Host is down, cannot open /dev/rfcomm0',
      {},
      'The board at /dev/rfcomm0 does not answer over Bluetooth: switch it on, or bring it nearer.',
    ],
    [
      'anything else',
      usb,
      'Error: Input/output error.',
      {},
      '/dev/ttyUSB0 cannot be opened (Error: Input/output error): unplug the board and plug it in again.',
    ],
  ])('says what is wrong and what to do: %s', (_what, path, message, facts, sentence) => {
    expect(portTrouble(path, message, { ...device, ...facts }, false)).toBe(sentence);
  });

  it('tells a port that was never there from one that was pulled out', () => {
    const missing: PortFacts = { ...device, node: 'missing' };
    expect(portTrouble(usb, 'any', missing, false)).toMatch(/^There is no port/);
    expect(portTrouble(usb, 'any', missing, true)).toMatch(/was unplugged: plug the board in again/);
  });
});

describe('what the system knows of a path', () => {
  it('tells a device, a file, a folder and nothing apart', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'spyhole-facts-'));
    const file = join(folder, 'file');
    await writeFile(file, '');
    const nodes: string[] = [];
    for (const path of ['/dev/null', file, folder, join(folder, 'none'), join(file, 'below'), 'COM3'])
      nodes.push((await readPortFacts(path)).node);
    await rm(folder, { recursive: true, force: true });
    expect(nodes).toEqual(['device', 'file', 'folder', 'missing', 'missing', 'unknown']);
  });

  const GROUPS = 'root:x:0:\ndialout:x:20:ben,ida\nempty:x:21:\n';
  // Modes as `ls -l` shows them: crw-rw----, crw-r-----, crw-------.
  it.each<[string, number, number, string, string | null, boolean]>([
    ['the user is in it', 0o020660, 20, 'ida', 'dialout', true],
    ['the user is not in it', 0o020660, 20, 'eva', 'dialout', false],
    ['nobody is in it', 0o020660, 21, 'ida', 'empty', false],
    ['it has no name', 0o020660, 99, 'ida', null, false],
    ['it is root', 0o020660, 0, 'ida', null, false],
    ['it may only read', 0o020640, 20, 'ida', null, false],
    ['it may nothing', 0o020600, 20, 'ida', null, false],
  ])('finds the group that may use a device: %s', (_what, mode, gid, user, group, inGroup) => {
    const node = { mode, gid, isCharacterDevice: () => true, isDirectory: () => false };
    expect(portFactsOf(node, GROUPS, user)).toEqual({ node: 'device', group, inGroup, user });
  });
});

describe('the sentences name a command that works', () => {
  it.each([
    [{ npm_lifecycle_event: 'start' }, 'npm start -- ports'],
    [{ npm_command: 'exec' }, 'npx spyhole ports'],
    [{}, 'spyhole ports'],
  ])('started with %j: %s', (env, command) => {
    expect(ownCommand('ports', env)).toBe(command);
  });
});
