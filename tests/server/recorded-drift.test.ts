/** Of a firing that is read back the kiln is the one that the core had: without a probe that drifts, by the guide in force. */
import { expect, it, onTestFinished } from 'vitest';
import { createFiring } from '../../collector/archive/write.ts';
import type { CoreInput } from '../../collector/core/inputs.ts';
import { newFiring } from '../../collector/core/state.ts';
import { step } from '../../collector/core/step.ts';
import { createFeed } from '../../collector/server/feed.ts';
import { createPastFirings } from '../../collector/server/past-firings.ts';
import { planSchema } from '../../protocol/plan.ts';
import { atH, readings, ripple, rounded } from '../core/two-probes.ts';
import { tempFolder } from '../support/collector.ts';
import { entryOf, helloOf, inputOf, probeOf, START_MS } from '../support/kiln.ts';
import { testClock } from './support.ts';

const PERIOD_MS = 20_000;
const PLAN = planSchema.parse({ name: 'early' });
const HELLO = helloOf(
  ['low', 'mid', 'high'].map((name) => probeOf(name, 'N')),
  PERIOD_MS,
);

/** A climb by 80 °C/h; the lowest probe slides away by 50 °C/h after 8.5 h. */
function kiln(hours: number) {
  const tempC = 20 + 80 * hours + ripple(hours);
  return {
    low: rounded(tempC - 8 - 50 * Math.max(0, hours - 8.5)),
    mid: rounded(tempC + 6),
    high: rounded(tempC + 40),
  };
}

it('has the curve and the top that the core had, where a probe drifts and a plan was taken back', async () => {
  const data = tempFolder();
  onTestFinished(data.remove);
  const archive = await createFiring({
    dataFolder: data.path,
    name: 'early',
    startedAt: START_MS,
    plan: PLAN,
    source: 'board',
    onTrouble: () => undefined,
  });
  const firing = { id: archive.id, name: 'early', startedAt: START_MS };
  const feed = createFeed({ run: 'run-1', clock: testClock(), source: 'board', firing, plan: PLAN });
  let state = newFiring(PLAN);
  let liveTopC = 0;
  let drifts = 0;
  const take = (input: CoreInput) => {
    const stepped = step(state, input);
    state = stepped.state;
    for (const output of stepped.outputs) {
      feed.publish(output);
      if (output.kind !== 'reading') continue;
      archive.readings(output);
      liveTopC = Math.max(liveTopC, output.kiln.smoothC ?? 0);
      if (output.rows.some(({ flags }) => flags.includes('drift'))) drifts += 1;
    }
  };
  const log = (at: number, json: { log: string } & Record<string, unknown>) => {
    take({ kind: 'log', at, log: entryOf(json) });
    archive.log({ at, madeAt: at, who: '', where: 'page', log: json.log, json, replaces: null });
  };
  take(inputOf.hello(START_MS, HELLO));
  feed.noteHello(START_MS, HELLO);
  archive.log({
    at: START_MS,
    madeAt: START_MS,
    who: '',
    where: 'collector',
    log: 'hello',
    json: { ...HELLO },
    replaces: null,
  });
  for (const input of readings(0, 2, kiln, PERIOD_MS)) take(input);
  log(atH(2) + 1, { ...PLAN, log: 'plan', id: 'p1', guide: 'high' });
  for (const input of readings(2, 3, kiln, PERIOD_MS)) take(input);
  log(atH(3) + 1, { log: 'undo', id: 'p1' });
  for (const input of readings(3, 12, kiln, PERIOD_MS)) take(input);
  await archive.close();
  expect(drifts).toBeGreaterThan(100);

  const past = createPastFirings(data.path, () => undefined);
  const recorded = await past.curve(archive.id, { width: 10_000 });
  const live = feed.curve({ width: 10_000 });
  expect(recorded?.at).toEqual(live.at);
  let most = 0;
  for (const [row, kilnC] of live.kiln.entries())
    if (kilnC !== null) most = Math.max(most, Math.abs((recorded?.kiln[row] ?? Infinity) - kilnC));
  // What the archive rounds.
  expect(most).toBeLessThan(0.5);
  const [listed] = await past.list();
  expect(listed?.topC).toBeCloseTo(liveTopC, 1);
});
