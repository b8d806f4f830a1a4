/** Cables that are pulled, and collectors that are killed, at times that are the same in every run. */
import type { Lockstep } from './lockstep.ts';

export interface Pull {
  /** The link is there for so long before, then gone for so long. */
  linkMs: number;
  outMs: number;
  /** The collector is killed at some moment of the outage, or of the link before it, and started again a little later. */
  kill: boolean;
}

export interface PullsOptions {
  count: number;
  /** Shortest and longest time without a cable. */
  outMs: readonly [number, number];
  linkMs: readonly [number, number];
  /** Every so many pulls the collector is killed; 0: never. */
  killEvery?: number;
  random: () => number;
}

/** The first pull is of the shortest time, the second of the longest. */
export function somePulls({ count, outMs, linkMs, killEvery = 0, random }: PullsOptions): Pull[] {
  const between = ([least, most]: readonly [number, number], at: number) =>
    Math.round(least + (most - least) * at);
  return Array.from({ length: count }, (_, n) => ({
    linkMs: between(linkMs, random()),
    outMs: between(outMs, n < 2 ? n : random()),
    kill: killEvery > 0 && n % killEvery === killEvery - 1,
  }));
}

/** From a kill to the next start. */
const DEAD_MS = 4_000;

/** Lets them happen one after another. */
export async function pullAll(side: Lockstep, pulls: readonly Pull[], random: () => number): Promise<void> {
  const goAndKill = async (ms: number, kill: boolean) => {
    if (!kill || ms < DEAD_MS + 1000) return side.go(ms);
    const beforeMs = Math.floor(random() * (ms - DEAD_MS));
    await side.go(beforeMs);
    await side.kill();
    await side.go(DEAD_MS);
    await side.restart();
    await side.go(ms - beforeMs - DEAD_MS);
  };
  for (const { linkMs, outMs, kill } of pulls) {
    const inOutage = random() < 0.5;
    await goAndKill(linkMs, kill && !inOutage);
    side.pull();
    await goAndKill(outMs, kill && inOutage);
    side.plug();
  }
}
