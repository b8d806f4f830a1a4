/** The stoking and the wood, as they are told: once a minute, and at once when the heat peaks or a stoke is known. */
import { MINUTE_MS } from '../../protocol/units.ts';
import type { KilnNow } from './figures.ts';
import { fuelFigures } from './fuel.ts';
import type { StokingFigures } from './inputs.ts';
import { lastStokes, nextStoke, type StokeFacts } from './next-stoke.ts';
import type { FiringState } from './state.ts';
import { stokeGain } from './stoke-gain.ts';

const SAID_EVERY_MS = MINUTE_MS;

/** What is to be told at `at`, or null while what was told last still holds. `toSaltingMs`: from then to salting heat. */
export function stokingNews(
  state: FiringState,
  kiln: KilnNow,
  facts: StokeFacts,
  toSaltingMs: number | null,
  at: number,
): StokingFigures | null {
  const { said } = state.stoking;
  const { stage } = state.stage;
  const same = said.peakedAt === facts.peakedAt && said.lastAt === facts.lastAt && said.stage === stage;
  if (same && at - said.at < SAID_EVERY_MS) return null;
  state.stoking.said = { at, peakedAt: facts.peakedAt, lastAt: facts.lastAt, stage };
  return {
    at,
    next: nextStoke(state, facts, at),
    gain: stokeGain(state.stoking, lastStokes(state, at)),
    fuel: fuelFigures(state, kiln, facts.medianIntervalMs, toSaltingMs, at),
  };
}
