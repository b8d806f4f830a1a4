/** The collector as a user starts it: a process of its own, with a home folder of its own. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = fileURLToPath(new URL('../..', import.meta.url));

const PATIENCE_MS = 30_000;

export interface Collector {
  readonly process: ChildProcess;
  /** Address of the page. */
  readonly url: string;
  /** All that it has said so far. */
  said(): string;
  /** Ctrl-C, and waits until it is gone; the answer is its exit status. */
  stop(): Promise<number | null>;
  /** kill -9, and waits until it is gone. */
  kill(): Promise<void>;
}

/** A folder for one test, gone when `remove` is called. */
export function tempFolder(): { path: string; remove: () => void } {
  const path = mkdtempSync(join(tmpdir(), 'spyhole-test-'));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}

/**
 * A port for one that is stopped and comes back to its pages: the collector's own next free one may be taken meanwhile by
 * another test's collector, which the pages would then find there.
 */
export async function portToComeBackTo(): Promise<string> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const address = server.address();
  server.close();
  await once(server, 'close');
  if (address === null || typeof address === 'string') throw new Error('there is no port');
  return String(address.port);
}

function spawnSpyhole(args: string[], home: string) {
  return spawn(process.execPath, ['collector/spyhole.mjs', ...args], {
    cwd: ROOT,
    env: {
      ...process.env,
      HOME: home,
      XDG_DATA_HOME: join(home, 'data'),
      XDG_CONFIG_HOME: join(home, 'config'),
    },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
}

/** Starts `spyhole` with these arguments on any free port; resolves once the page is served. */
export async function startCollector(args: string[], home: string): Promise<Collector> {
  const child = spawnSpyhole(args, home);
  let text = '';
  let wake: () => void = () => undefined;
  const hear = (chunk: Buffer) => {
    text += chunk.toString();
    wake();
  };
  child.stdout.on('data', hear);
  child.stderr.on('data', hear);
  const gone = once(child, 'exit');
  let over = false;
  void gone.then(() => {
    over = true;
    wake();
  });

  const deadline = performance.now() + PATIENCE_MS;
  let url: string | undefined;
  while (url === undefined) {
    url = /page: +(http:\S+)/.exec(text)?.[1];
    if (url !== undefined) break;
    if (over || performance.now() > deadline) {
      child.kill('SIGKILL');
      throw new Error(`The collector did not come up: ${text}`);
    }
    await new Promise<void>((resolve) => {
      wake = resolve;
      setTimeout(resolve, 200);
    });
  }
  return {
    process: child,
    url,
    said: () => text,
    stop: async () => {
      child.kill('SIGINT');
      const [status] = await gone;
      return status as number | null;
    },
    kill: async () => {
      child.kill('SIGKILL');
      await gone;
    },
  };
}

/** Runs a command to its end. */
export async function runSpyhole(
  args: string[],
  home: string,
): Promise<{ status: number | null; stdout: string; stderr: string }> {
  const child = spawnSpyhole(args, home);
  let stdout = '';
  let stderr = '';
  child.stdout.on('data', (chunk: Buffer) => {
    stdout += chunk.toString();
  });
  child.stderr.on('data', (chunk: Buffer) => {
    stderr += chunk.toString();
  });
  const [status] = await once(child, 'close');
  return { status: status as number | null, stdout, stderr };
}
