/** Why a port cannot be opened, and what to do about it, each in one sentence. */
import type { Stats } from 'node:fs';
import { readFile, stat } from 'node:fs/promises';
import { userInfo } from 'node:os';
import { errorCode } from '../error-code.ts';
import { ownCommand } from '../own-command.ts';

/** What the system knows about a path. */
export interface PortFacts {
  node: 'missing' | 'device' | 'folder' | 'file' | 'unknown';
  /** The group that may read and write the device; null if it is root's, or none may. */
  group: string | null;
  /** The user is in that group, which counts from the next log-in on. */
  inGroup: boolean;
  user: string;
}

const GROUP_MAY_READ_AND_WRITE = 0o060;

/** A line of /etc/group is `name:password:gid:user,user`. */
function groupById(groupFile: string, gid: number): { name: string; users: string[] } | null {
  for (const line of groupFile.split('\n')) {
    const [name, , id, users] = line.split(':');
    if (name && Number(id) === gid) return { name, users: (users ?? '').trim().split(',') };
  }
  return null;
}

function userName(): string {
  try {
    return userInfo().username;
  } catch {
    return 'NAME';
  }
}

/** What a node's status and the text of /etc/group say. */
export function portFactsOf(
  node: Pick<Stats, 'mode' | 'gid' | 'isCharacterDevice' | 'isDirectory'>,
  groupFile: string,
  user: string,
): PortFacts {
  const none = { group: null, inGroup: false, user };
  if (node.isDirectory()) return { node: 'folder', ...none };
  if (!node.isCharacterDevice()) return { node: 'file', ...none };
  const mayUse = node.gid !== 0 && (node.mode & GROUP_MAY_READ_AND_WRITE) === GROUP_MAY_READ_AND_WRITE;
  const group = mayUse ? groupById(groupFile, node.gid) : null;
  return { node: 'device', group: group?.name ?? null, inGroup: group?.users.includes(user) ?? false, user };
}

/** Looks at the path and at /etc/group. Never throws: what cannot be found out is `unknown` or null. */
export async function readPortFacts(path: string): Promise<PortFacts> {
  const user = userName();
  const unknown: PortFacts = { node: 'unknown', group: null, inGroup: false, user };
  if (!path.startsWith('/')) return unknown;
  try {
    const node = await stat(path);
    return portFactsOf(node, await readFile('/etc/group', 'utf8').catch(() => ''), user);
  } catch (error) {
    return /^(ENOENT|ENOTDIR)$/.test(errorCode(error)) ? { ...unknown, node: 'missing' } : unknown;
  }
}

const list = () => ownCommand('ports');

function noPermission(path: string, { group, inGroup, user }: PortFacts): string {
  if (group === null)
    return `You may not use ${path}: until it is plugged in again, this lets you: sudo chmod a+rw ${path}`;
  if (inGroup)
    return `You may not use ${path} yet: you are in the group ${group}, which counts once you have logged out and in again.`;
  return `You may not use ${path}: add yourself to the group ${group}: sudo usermod -a -G ${group} ${user}, then log out and in again.`;
}

/** The sentence for a port that is not there, or that has gone. */
export function missingPort(path: string, wasOpen: boolean): string {
  return wasOpen
    ? `${path} was unplugged: plug the board in again, and Spyhole goes on by itself.`
    : `There is no port ${path}: plug the board in, or see with '${list()}' which ports there are.`;
}

/**
 * The sentence for a port that did not open. `message` is the system's error as the serial library words it, in
 * English on every system: strerror on POSIX, `Opening COM3: Access denied` on Windows.
 */
export function portTrouble(path: string, message: string, facts: PortFacts, wasOpen: boolean): string {
  const says = (pattern: RegExp) => pattern.test(message);
  if (facts.node === 'missing' || says(/No such (file|device)|File not found|ENOENT|ENODEV|ENXIO/i))
    return missingPort(path, wasOpen);
  if (facts.node === 'folder' || says(/Is a directory|EISDIR/i))
    return `${path} is a folder and no serial port: see with '${list()}' which ports there are.`;
  if (facts.node === 'file' || says(/Inappropriate ioctl|ENOTTY/i))
    return `${path} is no serial port: see with '${list()}' which ports there are.`;
  if (says(/Opening .*Access denied|resource busy|EBUSY|temporarily unavailable|Cannot lock/i))
    return `Another program has ${path} open: close it (a serial monitor, or a second Spyhole), and Spyhole goes on by itself.`;
  if (says(/Permission denied|not permitted|EACCES|EPERM/i)) return noPermission(path, facts);
  if (says(/Host is down|No route to host|Connection refused|Connection timed out|not connected/i))
    return `The board at ${path} does not answer over Bluetooth: switch it on, or bring it nearer.`;
  if (says(/baud ?rate/i))
    return `${path} does not take this speed: give the board's own with --baud, as 115200.`;
  return `${path} cannot be opened (${message.replace(/[\s.]+$/, '')}): unplug the board and plug it in again.`;
}
