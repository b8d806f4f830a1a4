/** Asks the collector for firings that were kept, and for a closer look at a stretch of a curve. */

import type { z } from 'zod';
import { type FiringFactsAnswer, firingFactsAnswerSchema } from '../protocol/firing-facts.ts';
import {
  type AlertHistory,
  alertHistorySchema,
  type Curve,
  curveSchema,
  type FiringSummary,
  firingListSchema,
  type RecordedFiring,
  recordedFiringSchema,
} from '../protocol/firing-record.ts';

/** Addresses are those of this page's kiln. Null where the collector is not heard, or its answer cannot be read. */
async function ask<T>(address: string, schema: z.ZodType<T>): Promise<T | null> {
  try {
    const answer = await fetch(address);
    if (!answer.ok) return null;
    const parsed = schema.safeParse(await answer.json());
    return parsed.success ? parsed.data : null;
  } catch {
    return null;
  }
}

/** All firings, newest first, and whether more are being made. */
export async function fetchFiringList(): Promise<{ firings: FiringSummary[]; making: boolean } | null> {
  const list = await ask('api/firings', firingListSchema);
  if (list === null) return null;
  const firings = list.firings.sort((a, b) => (b.startedAt ?? 0) - (a.startedAt ?? 0));
  return { firings, making: list.making ?? false };
}

/** All firings, newest first. */
export async function fetchFirings(): Promise<FiringSummary[] | null> {
  return (await fetchFiringList())?.firings ?? null;
}

/** One firing with its curve thinned for `width` screen pixels; with `part` (epoch ms) the curve of that stretch alone. */
export function fetchFiring(
  id: string,
  width: number,
  part?: { from: number; to: number },
): Promise<RecordedFiring | null> {
  const stretch = part ? `&from=${Math.round(part.from)}&to=${Math.round(part.to)}` : '';
  return ask(`api/firings/${encodeURIComponent(id)}?width=${width}${stretch}`, recordedFiringSchema);
}

/** What has called in a firing, oldest first. */
export function fetchAlerts(id: string): Promise<AlertHistory | null> {
  return ask(`api/firings/${encodeURIComponent(id)}/alerts`, alertHistorySchema);
}

/** A stretch of a firing's curve, thinned for `width` pixels over that stretch. Times in epoch ms. */
export function fetchStretch(id: string, from: number, to: number, width: number): Promise<Curve | null> {
  const query = `width=${width}&from=${Math.round(from)}&to=${Math.round(to)}`;
  return ask(`api/firings/${encodeURIComponent(id)}/curve?${query}`, curveSchema);
}

/** Where a firing is to be had as one zip. */
export function zipAddress(id: string): string {
  const name = encodeURIComponent(id);
  return `api/firings/${name}/spyhole-${name}.zip`;
}

/** A firing in figures, and what came out of it. It may take the collector seconds to reckon them. */
export function fetchFacts(id: string): Promise<FiringFactsAnswer | null> {
  return ask(`api/firings/${encodeURIComponent(id)}/facts`, firingFactsAnswerSchema);
}
