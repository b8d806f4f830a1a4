import { type ChildProcess, spawn } from 'node:child_process';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { lockDataFolder } from '../../collector/firing/lock.ts';
import { tempFolder } from '../support/collector.ts';

const LINUX = process.platform === 'linux';
const folders: { remove: () => void }[] = [];
const children: ChildProcess[] = [];

afterEach(() => {
  for (const child of children.splice(0)) child.kill('SIGKILL');
  for (const folder of folders.splice(0)) folder.remove();
});

function newFolder(): string {
  const folder = tempFolder();
  folders.push(folder);
  return folder.path;
}

/** Another program, which is alive. */
async function someProgram(): Promise<number> {
  const child = spawn(process.execPath, ['-e', 'process.stdout.write("up");setTimeout(() => {}, 60000)'], {
    stdio: ['ignore', 'pipe', 'ignore'],
  });
  children.push(child);
  await new Promise((resolve) => child.stdout?.once('data', resolve));
  return child.pid ?? 0;
}

const mark = (folder: string) => join(folder, 'collector.pid');

describe('the mark in a data folder', () => {
  it('keeps a second collector out while the first is alive, and is gone with it', async () => {
    const folder = join(newFolder(), 'not', 'there', 'yet');
    const letGo = await lockDataFolder(folder);
    await expect(lockDataFolder(folder)).rejects.toThrow(`process ${process.pid}`);
    await letGo();
    expect(readdirSync(folder)).toEqual([]);
    await (await lockDataFolder(folder))();
  });

  it.each([
    ['a process that is gone', String(2 ** 22 + 1)],
    ['nothing, left so by a crash', ''],
    ['what is no process', 'kiln'],
    [
      'a process from before the computer was started anew',
      `${process.pid} 1 00000000-0000-0000-0000-000000000000`,
    ],
  ])('that names %s is taken over', async (_what, text) => {
    const folder = newFolder();
    writeFileSync(mark(folder), text);
    const letGo = await lockDataFolder(folder);
    expect(readFileSync(mark(folder), 'utf8')).toMatch(new RegExp(`^${process.pid}\\b`));
    await letGo();
    expect(readdirSync(folder)).toEqual([]);
  });

  it.runIf(LINUX)('does not take another program for the collector that had its number before', async () => {
    const folder = newFolder();
    const run = readFileSync('/proc/sys/kernel/random/boot_id', 'utf8').trim();
    writeFileSync(mark(folder), `${await someProgram()} 1 ${run}`);
    await (await lockDataFolder(folder))();
  });

  it('of a live process that says no more than its number is believed', async () => {
    const folder = newFolder();
    const pid = await someProgram();
    writeFileSync(mark(folder), String(pid));
    await expect(lockDataFolder(folder)).rejects.toThrow(`process ${pid}`);
  });

  it('is taken by one of several that start at once, also where a dead one left its own', async () => {
    for (const left of [null, String(2 ** 22 + 1)]) {
      const folder = newFolder();
      if (left !== null) writeFileSync(mark(folder), left);
      const tries = await Promise.allSettled(Array.from({ length: 8 }, () => lockDataFolder(folder)));
      expect(tries.filter(({ status }) => status === 'fulfilled')).toHaveLength(1);
      expect(readdirSync(folder)).toEqual(['collector.pid']);
    }
  });

  it('that cannot be put there is told in a sentence', async () => {
    const file = join(newFolder(), 'file');
    writeFileSync(file, '');
    await expect(lockDataFolder(file)).rejects.toThrow(/A file stands where .*--data/);
    await expect(lockDataFolder(join(file, 'below'))).rejects.toThrow(/A file stands where .*--data/);
  });

  it.runIf(LINUX)('where no folder can be made is told, and not tried for ever', async () => {
    await expect(lockDataFolder('/proc/spyhole/firings')).rejects.toThrow(/is not there.*--data/);
  });
});
