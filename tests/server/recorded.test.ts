import { appendFileSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Archive } from '../../collector/archive/archive.ts';
import { createFiring } from '../../collector/archive/write.ts';
import type { CoreInput } from '../../collector/core/inputs.ts';
import { newFiring } from '../../collector/core/state.ts';
import { step } from '../../collector/core/step.ts';
import { createFeed, type Feed } from '../../collector/server/feed.ts';
import { createPastFirings } from '../../collector/server/past-firings.ts';
import { type Curve, recordedFiringSchema } from '../../protocol/firing-record.ts';
import { parseLogEntry } from '../../protocol/log-entries.ts';
import { planSchema } from '../../protocol/plan.ts';
import { presentPlan } from '../../protocol/plan-in-log.ts';
import type { RawValue } from '../../protocol/probes.ts';
import { ask, START, serve, testClock } from './support.ts';

const PERIOD_MS = 10_000;
const HOUR_MS = 3_600_000;
const PLAN = planSchema.parse({ name: 'early', topC: 1260 });
const HELLO = {
  board: 'shed-1',
  boot: '9F00C2A1',
  periodMs: PERIOD_MS,
  keeps: 3600,
  probes: [
    { name: 'low', couple: 'K' as const, form: { kind: 'deg' as const } },
    { name: 'high', couple: 'K' as const, form: { kind: 'deg' as const } },
  ],
};

let folder = '';
let id = '';
let feed: Feed;
const troubles: string[] = [];

/** An invented firing of 6 h: a probe that fails for half an hour, a silence that is filled in late, a stuck climb. */
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'spyhole-past-'));
  const archive = await createFiring({
    dataFolder: folder,
    name: 'early',
    startedAt: START,
    plan: PLAN,
    source: 'board',
    onTrouble: (text) => text !== null && troubles.push(text),
  });
  id = archive.id;
  const firing = { id, name: 'early', startedAt: START };
  feed = createFeed({ run: 'run-1', clock: testClock(), source: 'board', firing, plan: PLAN });
  fire(archive);
  await archive.close();
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** The same inputs to the core as ever; what comes out goes to the feed and to the archive. */
function fire(archive: Archive): void {
  let state = newFiring(PLAN);
  const take = (input: CoreInput) => {
    const stepped = step(state, input);
    state = stepped.state;
    for (const output of stepped.outputs) {
      feed.publish(output);
      if (output.kind === 'reading') archive.readings(output);
      if (output.kind === 'alert') {
        const { kind: _kind, at, ...json } = output;
        archive.log({ at, madeAt: at, who: '', where: 'collector', log: 'alert', json, replaces: null });
      }
    }
  };
  const log = (at: number, json: { log: string; id: string } & Record<string, unknown>) => {
    const parsed = parseLogEntry(json);
    if (!parsed) throw new Error(json.log);
    take({ kind: 'log', at, log: parsed });
    const row = { at, madeAt: at, who: 'Mira', where: 'page', log: json.log, json, replaces: null };
    const entry = archive.log(row);
    feed.publishLog({ ...row, entry, id: json.id, undone: false });
  };
  const reading = (seq: number, late: boolean): CoreInput => {
    const at = START + seq * PERIOD_MS;
    const hours = (at - START) / HOUR_MS;
    const lowC = 20 + 150 * hours + 12 * Math.sin(hours * 2 * Math.PI * 6);
    const low: RawValue = hours > 2 && hours < 2.5 ? '!open' : Math.round(lowC * 4) / 4;
    const values = [
      { probe: 'low', raw: low },
      { probe: 'high', raw: Math.round((lowC + 30) * 4) / 4 },
    ];
    const { board, boot } = HELLO;
    return {
      kind: 'reading',
      at,
      board,
      boot,
      seq,
      uptimeMs: seq * PERIOD_MS,
      coldJunctionC: 25,
      values,
      late,
    };
  };

  take({ kind: 'hello', at: START, hello: HELLO });
  feed.noteHello(START, HELLO);
  archive.log({
    at: START,
    madeAt: START,
    who: '',
    where: 'collector',
    log: 'hello',
    json: { ...HELLO },
    replaces: null,
  });
  const missed = (seq: number) => seq >= 1200 && seq < 1300;
  const silent = (seq: number) => seq >= 1500 && seq < 1560;
  for (let seq = 1; seq < 2160; seq += 1) {
    if (missed(seq) || silent(seq)) continue;
    take(reading(seq, false));
    const at = START + seq * PERIOD_MS + 5000;
    if (seq === 5) log(at, { log: 'light-up', id: 'l-1' });
    if (seq === 900) log(at, { log: 'stoke', hole: 'left', id: 's-1' });
    if (seq === 901) log(at, { log: 'undo', id: 's-1' });
    if (seq === 1000) log(at, { ...PLAN, log: 'plan', id: 'p-1', guide: 'high', topC: 1240 });
    if (seq === 1400) for (let late = 1200; late < 1250; late += 1) take(reading(late, true));
    if (seq === 2100) log(at, { log: 'clam-up', id: 'c-1' });
  }
}

/** A curve without the last digit, in which the archive's rounding shows. */
function rough(curve: Curve) {
  const tenths = (column: (number | null)[]) =>
    column.map((value) => (value === null ? null : Math.round(value * 5) / 5));
  return { at: curve.at, probes: curve.probes.map(({ probe, tempC }) => ({ probe, tempC: tenths(tempC) })) };
}

describe('a firing read back from the archive', () => {
  const past = () => createPastFirings(folder, (text) => troubles.push(text));

  it('is the firing that was shown live', async () => {
    const recorded = recordedFiringSchema.parse(await past().view(id, { width: 300 }));
    const live = feed.view({ width: 300 });
    expect(rough(recorded.curve)).toEqual(rough(live.curve));
    const { firing, stages, log, alerts, firstPlan, probes } = recorded;
    expect({ alerts, firstPlan, probes }).toEqual({
      alerts: live.alerts,
      firstPlan: live.firstPlan,
      probes: live.probes,
    });
    expect(log.map(({ entry, log: word, undone }) => [entry, word, undone])).toEqual(
      live.log.map(({ entry, log: word, undone }) => [entry, word, undone]),
    );
    expect(log.map(({ log: word }) => word)).toEqual(['light-up', 'stoke', 'undo', 'plan', 'clam-up']);
    expect(live.alerts.length).toBeGreaterThan(0);
    // A stage stands in the readings: it is known from the first of them that is in it.
    expect(stages.map(({ stage }) => stage)).toEqual(['before', 'candling', 'climbing', 'cooling']);
    expect(live.stages.map(({ stage }) => stage)).toEqual(['before', 'candling', 'climbing', 'cooling']);
    for (const [index, { from }] of stages.entries()) {
      const lateMs = from - (live.stages[index]?.from ?? 0);
      expect(lateMs).toBeGreaterThanOrEqual(0);
      expect(lateMs).toBeLessThan(PERIOD_MS);
    }
    expect(presentPlan(firstPlan, log).topC).toBe(1240);
    expect(firing).toMatchObject({
      id,
      name: 'early',
      startedAt: START,
      endedAt: START + 2159 * PERIOD_MS,
      running: false,
    });
    expect(troubles).toEqual([]);
  });

  it('has the same facts as the firing that burned, but for what the archive rounds', async () => {
    const known = await past().facts?.(id);
    const live = feed.facts();
    if (!known) throw new Error('no facts');
    const { topC, places, wayUp, ...facts } = known.facts;
    const { topC: liveTopC, places: livePlaces, wayUp: liveWayUp, ...liveFacts } = live;
    expect(facts).toEqual(liveFacts);
    expect(topC).toBeCloseTo(liveTopC ?? Number.NaN, 1);
    expect(places.map(({ topC: _topC, ...place }) => place)).toEqual(
      livePlaces.map(({ topC: _topC, ...place }) => place),
    );
    for (const [row, place] of places.entries())
      expect(place.topC).toBeCloseTo(livePlaces[row]?.topC ?? Number.NaN, 1);
    const { afterMs, ...steps } = wayUp;
    const { afterMs: liveAfterMs, ...liveSteps } = liveWayUp;
    expect(steps).toEqual(liveSteps);
    expect(steps.tempC.length).toBeGreaterThan(100);
    // A step of heat may be met a reading earlier or later by the last digit.
    for (const [row, ms] of afterMs.entries())
      expect(Math.abs(ms - (liveAfterMs[row] ?? Number.NaN))).toBeLessThanOrEqual(PERIOD_MS);
    expect(known.troubles).toEqual([]);
  });

  it("has the kiln's level and climb as the core made them, also while a guide stands for it", async () => {
    const recorded = await past().curve(id, { width: 10_000 });
    const live = feed.curve({ width: 10_000 });
    expect(recorded?.at).toEqual(live.at);
    let compared = 0;
    for (const [row, kilnC] of live.kiln.entries()) {
      const climb = live.kilnClimbCPerH[row] ?? null;
      if (kilnC === null) expect(recorded?.kiln[row]).toBeNull();
      else expect(recorded?.kiln[row]).toBeCloseTo(kilnC, 0);
      if (climb !== null)
        expect(Math.abs((recorded?.kilnClimbCPerH[row] ?? Infinity) - climb)).toBeLessThan(0.2);
      if (kilnC !== null && climb !== null) compared += 1;
    }
    expect(compared).toBeGreaterThan(1500);
  });

  it('shows what came late in its place, and what never came as a gap', async () => {
    const curve = await past().curve(id, { width: 10_000 });
    const high = curve?.probes.find(({ probe }) => probe === 'high')?.tempC ?? [];
    const rowsIn = (fromMs: number, toMs: number) =>
      (curve?.at ?? []).flatMap((at, row) =>
        at >= START + fromMs && at <= START + toMs ? [high[row] ?? null] : [],
      );
    const late = rowsIn(1200 * PERIOD_MS, 1249 * PERIOD_MS);
    expect(late).toHaveLength(50);
    expect(late.every((value) => value !== null)).toBe(true);
    expect(rowsIn(1249 * PERIOD_MS + 1, 1300 * PERIOD_MS - 1)).toEqual([null, null]);
    expect(rowsIn(1499 * PERIOD_MS + 1, 1560 * PERIOD_MS - 1)).toEqual([null, null]);
  });

  it('is kept in memory until its files change', async () => {
    const firings = past();
    const [first, again] = [await firings.view(id, { width: 300 }), await firings.view(id, { width: 300 })];
    expect(again?.log).toBe(first?.log);
    appendFileSync(join(folder, id, 'log.csv'), 'this is no row\n');
    const changed = await firings.view(id, { width: 300 });
    expect(changed?.log).not.toBe(first?.log);
    expect(changed?.log).toEqual(first?.log);
    expect(troubles).toEqual([expect.stringContaining(`The archive of ${id} has rows that cannot be read`)]);
  });

  it('is none where there is no folder, or nothing in it', async () => {
    expect(await past().view('2029-01-01-none', { width: 300 })).toBeNull();
    expect(await past().curve('', { width: 300 })).toBeNull();
  });

  it('is listed and given over HTTP', async () => {
    const { port } = await serve({ firings: past() });
    const { firings } = JSON.parse((await ask(port, '/api/firings')).text);
    expect(firings).toMatchObject([
      { id: '2031-03-08-spring', running: true },
      { id, name: 'early', running: false, startedAt: START },
    ]);
    const { text } = await ask(port, `/api/firings/${id}?width=200`);
    expect(recordedFiringSchema.parse(JSON.parse(text)).firing).toMatchObject({
      ...firings[1],
      topC: expect.any(Number),
    });
  });
});
