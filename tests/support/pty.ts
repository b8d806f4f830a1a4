/**
 * A cable for tests: a pair of pseudo-terminals joined by socat. What is written at one end is read at the other, as
 * with two serial ports. The two paths stay the same when the cable is pulled and plugged in again.
 */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { lstat, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';

const SOCAT = 'socat';

export interface Pty {
  /** The end that the collector opens. */
  readonly collectorEnd: string;
  /** The end that the board opens. */
  readonly boardEnd: string;
  /** Pulls the cable: both paths vanish, and whoever has them open gets an error. */
  pull(): Promise<void>;
  /** Plugs it in again: the paths are there when this resolves. */
  plug(): Promise<void>;
  /** Pulls it for good and removes the folder. */
  close(): Promise<void>;
}

export function hasSocat(): boolean {
  return spawnSync(SOCAT, ['-V'], { stdio: 'ignore' }).status === 0;
}

const PATIENCE_MS = 10_000;

async function present(path: string): Promise<boolean> {
  return lstat(path).then(
    () => true,
    () => false,
  );
}

async function until(what: string, holds: () => Promise<boolean>): Promise<void> {
  const deadline = performance.now() + PATIENCE_MS;
  while (!(await holds())) {
    if (performance.now() > deadline) throw new Error(`waited in vain until ${what}`);
    await sleep(10);
  }
}

async function exited(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  await new Promise((resolve) => child.once('exit', resolve));
}

/** A plugged-in cable in a temporary folder. */
export async function openPty(): Promise<Pty> {
  const folder = await mkdtemp(join(tmpdir(), 'spyhole-pty-'));
  const collectorEnd = join(folder, 'collector');
  const boardEnd = join(folder, 'board');
  let socat: ChildProcess | null = null;

  const pull = async () => {
    if (!socat) return;
    const pulled = socat;
    socat = null;
    pulled.kill('SIGTERM');
    await exited(pulled);
    await Promise.all([rm(collectorEnd, { force: true }), rm(boardEnd, { force: true })]);
  };
  const plug = async () => {
    if (socat) return;
    const child = spawn(
      SOCAT,
      ['-d', '-d', `pty,raw,echo=0,link=${collectorEnd}`, `pty,raw,echo=0,link=${boardEnd}`],
      { stdio: 'ignore' },
    );
    socat = child;
    await until('both ends of the cable are there', async () => {
      if (child.exitCode !== null) throw new Error(`socat ended with status ${child.exitCode}`);
      return (await present(collectorEnd)) && (await present(boardEnd));
    });
  };
  await plug();
  return {
    collectorEnd,
    boardEnd,
    pull,
    plug,
    close: async () => {
      await pull();
      await rm(folder, { recursive: true, force: true });
    },
  };
}
