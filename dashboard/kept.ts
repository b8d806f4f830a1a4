/**
 * What was known last, kept in the browser: a page that opens while the collector is not heard shows it, and says of when
 * it is. It is kept in the form of a welcome, and read as one.
 */
import { del, get, keys, set } from 'idb-keyval';
import { z } from 'zod';
import type { Curve } from '../protocol/firing-record.ts';
import { collectorMessageSchema, LIVE_VERSION, type WelcomeMessage } from '../protocol/live-messages.ts';
import { type Cell, type Columns, valueColumns } from './curve/columns.ts';
import { thinOldRows } from './curve/thin.ts';
import { firingNow } from './freshness.ts';
import type { PageState } from './state.ts';

/** Enough for a screen, and little enough to be written each minute on an old phone. */
const MOST_ROWS = 3_000;
/** Kilns of which something is kept. */
const MOST_KILNS = 6;
const NAME = 'known ';

const keptSchema = z.object({
  /** When the collector was last heard, by the phone's clock, epoch ms. */
  heardAt: z.number(),
  kiln: z.string().nullable(),
  welcome: z.unknown(),
});

export interface Kept {
  heardAt: number;
  kiln: string | null;
  welcome: WelcomeMessage;
}

/** What is to be kept of a page that has heard of a firing; null where it has not. `heardAt`: as in `Kept`. */
export function keptOf(state: PageState, columns: Columns, heardAt: number): Kept | null {
  const { firing, clock } = state;
  // Of when it was heard, not of now: what is kept shall not look newer than it is.
  const now = firingNow({ clock, wallMs: state.heardAtWallMs });
  if (firing === null || clock === null || now === null) return null;
  const { summary, probes, firstPlan, stages, log, alerts, forecast, kiln, stage, lastReadingAt } = firing;
  const reading =
    lastReadingAt === null
      ? null
      : {
          type: 'reading' as const,
          n: 1,
          at: lastReadingAt,
          stage,
          late: false,
          probes: probes.map(({ name, couple: _couple, at: _at, ...figures }) => ({
            probe: name,
            ...figures,
            climbSdCPerH: null,
          })),
          kiln,
        };
  return {
    heardAt,
    kiln: state.kiln,
    welcome: {
      type: 'welcome',
      version: LIVE_VERSION,
      run: 'kept',
      n: 0,
      now: Math.round(now),
      clockRate: clock.rate,
      source: clock.source,
      firing: summary,
      probes: probes.flatMap(({ name, couple }) => (couple === null ? [] : [{ name, couple }])),
      firstPlan,
      curve: curveOf(columns),
      stages,
      log,
      alerts,
      last: { reading, forecast },
      links: state.links,
    },
  };
}

function curveOf(columns: Columns): Curve {
  const at = [...columns.at];
  const cells = valueColumns(columns).map((column) => [...column]);
  if (at.length > MOST_ROWS) thinOldRows(at, cells, MOST_ROWS);
  const [kiln = [], climb = [], climbSd = [], ...probes] = cells.map(wholeCells);
  return {
    at,
    kiln,
    kilnClimbCPerH: climb,
    kilnClimbSdCPerH: climbSd,
    probes: columns.probes.map(({ probe }, place) => ({ probe, tempC: probes[place] ?? [] })),
  };
}

/** A row of another board: the line goes on, and so does its value. */
function wholeCells(column: readonly Cell[]): (number | null)[] {
  let last: number | null = null;
  return column.map((cell) => {
    if (cell !== undefined) last = cell;
    return last;
  });
}

/** Keeps it under the kiln's path, and lets go of kilns that were not heard for longest. Rejects where the browser keeps nothing. */
export async function keep(kilnPath: string, kept: Kept): Promise<void> {
  await set(NAME + kilnPath, kept);
  const others = (await keys()).filter(
    (key): key is string => typeof key === 'string' && key.startsWith(NAME) && key !== NAME + kilnPath,
  );
  if (others.length < MOST_KILNS) return;
  const dated = await Promise.all(
    others.map(async (key) => ({ key, at: keptSchema.safeParse(await get(key)).data?.heardAt ?? 0 })),
  );
  const oldest = dated.sort((a, b) => b.at - a.at).slice(MOST_KILNS - 1);
  await Promise.all(oldest.map(({ key }) => del(key)));
}

/** What was kept, or null: nothing, or by another build whose words this one does not read. */
export async function recallKept(kilnPath: string): Promise<Kept | null> {
  const read = keptSchema.safeParse(await get(NAME + kilnPath).catch(() => null));
  if (!read.success) return null;
  const message = collectorMessageSchema.safeParse(read.data.welcome);
  if (!message.success || message.data.type !== 'welcome' || message.data.version !== LIVE_VERSION)
    return null;
  return { ...read.data, welcome: message.data };
}
