import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { chmodSync, cpSync, existsSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { ROOT, tempFolder } from '../support/collector.ts';

const folders: { remove: () => void }[] = [];
afterEach(() => {
  for (const folder of folders.splice(0)) folder.remove();
});

/** A checkout of its own, as it lies on the disk but for its packages. */
function checkout(): string {
  const folder = tempFolder();
  folders.push(folder);
  for (const name of ['protocol', 'alerts', 'collector', 'dashboard', 'package.json', 'package-lock.json'])
    cpSync(join(ROOT, name), join(folder.path, name), { recursive: true });
  return folder.path;
}

async function start(root: string, path = process.env.PATH): Promise<{ status: number; stdout: string }> {
  const child = spawn(process.execPath, ['collector/spyhole.mjs', '--help'], {
    cwd: root,
    env: { ...process.env, PATH: path },
    stdio: ['ignore', 'pipe', 'ignore'],
  });
  let stdout = '';
  child.stdout.on('data', (chunk: Buffer) => {
    stdout += chunk.toString();
  });
  const [status] = await once(child, 'close');
  return { status: status as number, stdout };
}

describe('the first start of a checkout', () => {
  it('made several times at once builds for each, and none sees a half build', async () => {
    const root = checkout();
    symlinkSync(join(ROOT, 'node_modules'), join(root, 'node_modules'));
    const starts = await Promise.all([start(root), start(root), start(root)]);
    for (const { status, stdout } of starts) {
      expect(status).toBe(0);
      expect(stdout).toContain('Usage: spyhole');
    }
  });

  it('made twice at once installs once, and both wait for it', async () => {
    const root = checkout();
    // In the place of npm: notes that it was called, takes its time, and puts the packages there.
    const npm = join(root, 'npm');
    const calls = join(root, 'calls');
    writeFileSync(
      npm,
      `#!/bin/sh\necho "$@" >> '${calls}'\nsleep 1\nln -s '${join(ROOT, 'node_modules')}' '${join(root, 'node_modules')}'\n`,
    );
    chmodSync(npm, 0o755);
    const path = `${root}:${process.env.PATH}`;
    const starts = await Promise.all([start(root, path), start(root, path)]);
    expect(starts.map(({ status }) => status)).toEqual([0, 0]);
    expect(readFileSync(calls, 'utf8').trim().split('\n')).toHaveLength(1);
    expect(existsSync(join(root, 'node_modules', 'zod'))).toBe(true);
  });
});
