/** What called in a firing, as a page asks for it. */
import { expect, it } from 'vitest';
import { newStandings, standingAfter, standingLogged } from '../../alerts/standing.ts';
import { alertHistorySchema } from '../../protocol/firing-record.ts';
import { knownLogEntrySchema } from '../../protocol/log-entries.ts';
import { alertOf, ask, readingOf, START, serve, testFeed } from './support.ts';

const HOURS_S = 3600;

it('has the reason in words, who answered when and where, why it ended, and the stretch of the curve around it', async () => {
  const feed = testFeed();
  for (let second = 0; second <= 3 * HOURS_S; second += 60) feed.publish(readingOf(second, { low: 900 }));
  const standings = newStandings();
  const raised = alertOf(HOURS_S, 'raised', 'stall');
  standingAfter(standings, raised, 'climbing');
  feed.publish(raised);
  const ack = knownLogEntrySchema.parse({ log: 'ack', alert: 'stall', who: 'Mira', where: "Mira's phone" });
  for (const change of standingLogged(standings, START + (HOURS_S + 40) * 1000, ack, null, 'climbing'))
    feed.publish({ kind: 'standing', ...change });
  feed.publish(alertOf(HOURS_S + 1200, 'cleared', 'stall'));
  feed.publish(alertOf(2.9 * HOURS_S, 'raised', 'over-heat'));

  const server = await serve({ feed });
  const { status, text } = await ask(server.port, '/api/firings/2031-03-08-spring/alerts');
  expect(status).toBe(200);
  const { alerts } = alertHistorySchema.parse(JSON.parse(text));
  const minutes = (at: number) => (at - START) / 60_000;
  expect(alerts).toMatchObject([
    {
      alert: {
        name: 'stall',
        text: 'stall raised.',
        acknowledged: {
          at: START + (HOURS_S + 40) * 1000,
          who: 'Mira',
          where: "Mira's phone",
          stage: 'climbing',
        },
      },
      clearedText: 'stall cleared.',
    },
    { alert: { name: 'over-heat', acknowledged: null }, clearedAt: null },
  ]);
  // 45 min before it was raised to 45 min after it ended; never beyond the last reading.
  expect(alerts.map(({ around }) => [minutes(around.from), minutes(around.to)])).toEqual([
    [15, 125],
    [129, 180],
  ]);
  expect(await ask(server.port, '/api/firings/no-such/alerts')).toMatchObject({ status: 404 });
});
