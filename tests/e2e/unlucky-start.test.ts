import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readdirSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, describe, expect, it } from 'vitest';
import { ROOT, runSpyhole, startCollector, tempFolder } from '../support/collector.ts';

const home = tempFolder();
afterAll(() => home.remove());
const GOOD = join(ROOT, 'sample-captures', 'good-firing.capture');
const NOWHERE = ['watch', '--port', '/dev/no-such-port'];
let made = 0;

function newPath(): string {
  made += 1;
  return join(home.path, `data-${made}`);
}

function newFile(): string {
  const path = newPath();
  writeFileSync(path, '');
  return path;
}

describe('a start that cannot be', () => {
  it.each([
    ['a file in the place of the data folder', () => ['demo', '--data', newFile()], /A file stands where/],
    ['a name too long to keep', () => ['demo', '--data', newPath(), '--name', 'n'.repeat(81)], /at name/],
    [
      'two probes of one name',
      () => [...NOWHERE, '--data', newPath(), '--plain', 'a,a'],
      /a name of its own/,
    ],
  ])('says in a sentence what is wrong: %s', async (_what, args, words) => {
    const { status, stderr } = await runSpyhole(args(), home.path);
    expect(status).toBe(1);
    expect(stderr).toMatch(words);
    expect(stderr.trim().split('\n')).toHaveLength(1);
  });

  it('leaves no firing behind where the port of the page is taken', async () => {
    const other = createServer().listen(0, '127.0.0.1');
    await once(other, 'listening');
    const data = newPath();
    const port = String((other.address() as AddressInfo).port);
    const { status, stderr } = await runSpyhole([...NOWHERE, '--data', data, '--http-port', port], home.path);
    other.close();
    expect(status).toBe(1);
    expect(stderr).toContain('taken by another program');
    expect(readdirSync(data)).toEqual([]);
  });
});

describe('a home that cannot be written', () => {
  it('costs the pairing that would be kept, and not the watch', async () => {
    const data = newPath();
    const collector = await startCollector([...NOWHERE, '--data', data], newFile());
    expect(collector.said()).toContain('The pairing key cannot be kept');
    expect(await collector.stop()).toBe(0);
    expect(readdirSync(data).filter((name) => name.endsWith('-firing'))).toHaveLength(1);
  });
});

describe('a signal', () => {
  it('that comes twice at once, as npm and the terminal hand it on, ends the firing in good order', async () => {
    const data = newPath();
    const collector = await startCollector([...NOWHERE, '--data', data], home.path);
    // Two of a kind may be handed on as one; and one that comes when all is closed and only Node itself is still going ends
    // that without harm. So two kinds, at once.
    collector.process.kill('SIGTERM');
    expect(await collector.stop()).toBe(0);
    expect(existsSync(join(data, 'collector.pid'))).toBe(false);
  });

  it('that a terminal has ended does not stop a collector that was not started from one', async () => {
    const collector = await startCollector([...NOWHERE, '--data', newPath()], home.path);
    collector.process.kill('SIGHUP');
    await sleep(300);
    expect(collector.process.exitCode).toBeNull();
    expect(collector.process.signalCode).toBeNull();
    expect(await collector.stop()).toBe(0);
  });
});

describe('a reader that goes', () => {
  const start = (args: string[]) =>
    spawn(process.execPath, ['collector/spyhole.mjs', ...args], {
      cwd: ROOT,
      env: { ...process.env, HOME: home.path, XDG_CONFIG_HOME: join(home.path, 'config') },
      stdio: ['ignore', 'pipe', 'pipe'],
    });
  const gone = async (child: ChildProcess) => (await once(child, 'exit'))[0] as number | null;

  it('ends a rerun without a word, as `rerun FILE | head -1` should', async () => {
    const child = start(['rerun', GOOD, '--every', '10']);
    let stderr = '';
    child.stderr.on('data', (chunk: Buffer) => {
      stderr += chunk.toString();
    });
    const over = gone(child);
    await once(child.stdout, 'data');
    child.stdout.destroy();
    expect(await over).toBe(0);
    expect(stderr).toBe('');
  });

  it('does not end the watch', async () => {
    const child = start(['demo', '--data', newPath(), '--speed', '100000']);
    const over = gone(child);
    let said = '';
    for await (const chunk of child.stderr) {
      said += String(chunk);
      if (said.includes('Stop with')) break;
    }
    child.stderr.destroy();
    await sleep(1500);
    expect(child.exitCode).toBeNull();
    child.kill('SIGINT');
    expect(await over).toBe(0);
  });
});
