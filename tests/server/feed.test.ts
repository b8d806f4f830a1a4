import { describe, expect, it } from 'vitest';
import { newStandings, standingAfter, standingLogged } from '../../alerts/standing.ts';
import type { AlertOutput } from '../../collector/core/inputs.ts';
import { saltCount } from '../../collector/core/salting-facts.ts';
import { createFeed, type Feed } from '../../collector/server/feed.ts';
import { collectorMessageSchema, type NumberedMessage } from '../../protocol/live-messages.ts';
import { type KnownLogEntry, knownLogEntrySchema } from '../../protocol/log-entries.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import { presentPlan } from '../../protocol/plan-in-log.ts';
import { alertOf, HELLO, loggedOf, readingOf, START, testClock, testFeed } from './support.ts';

/** The numbered messages so far, each checked against the protocol. */
function messagesOf(feed: Feed): NumberedMessage[] {
  return Array.from({ length: feed.newest() }, (_, index) => {
    const message = collectorMessageSchema.parse(JSON.parse(String(feed.message(index + 1))));
    if (!('n' in message) || message.type === 'beat' || message.type === 'welcome')
      throw new Error(message.type);
    return message;
  });
}

describe('the feed', () => {
  it('numbers what happens from 1, without gaps', () => {
    const feed = testFeed();
    feed.publish(readingOf(0, { low: 20, high: 21 }));
    feed.publish({ kind: 'stage', at: START, from: 'before', to: 'candling' });
    feed.publish(alertOf(5, 'raised', 'stall'));
    feed.publishLog(loggedOf(6, 'stoke', { hole: 'left' }));
    feed.publish({
      kind: 'forecast',
      forecast: {
        at: START + 7000,
        toSaltingMs: { low: 1000, mid: 2000, high: null },
        forecasts: { cone: null, nextStage: null, below400F: null, unbrick: null },
        fan: null,
      },
    });
    const messages = messagesOf(feed);
    expect(messages.map(({ n }) => n)).toEqual([1, 2, 3, 4, 5]);
    expect(messages.map(({ type }) => type)).toEqual(['reading', 'stage', 'alert', 'log', 'forecast']);
  });

  it('welcomes a page with all that stands: the protocol takes it', () => {
    const feed = testFeed();
    for (let second = 0; second < 50; second += 1)
      feed.publish(readingOf(second, { low: 700 + second, high: 710 + second }, { kilnC: 705 + second }));
    feed.publish({ kind: 'stage', at: START + 50_000, from: 'climbing', to: 'salting' });
    feed.setStanding([{ link: 'usb', state: 'open', text: 'The board is heard.', badLines: 2 }]);
    const welcome = collectorMessageSchema.parse(JSON.parse(JSON.stringify(feed.welcome(300))));
    expect(welcome).toMatchObject({
      type: 'welcome',
      run: 'run-1',
      n: 51,
      source: 'board',
      firing: { id: '2031-03-08-spring', startedAt: START, endedAt: null, topC: 754, running: true },
      probes: [
        { name: 'low', couple: 'K' },
        { name: 'high', couple: 'S' },
      ],
      stages: [
        { from: START, stage: 'climbing' },
        { from: START + 50_000, stage: 'salting' },
      ],
      last: { reading: { n: 50, at: START + 49_000 } },
      links: [{ link: 'usb', badLines: 2 }],
    });
  });

  it('tells of the salt in grams and tenths of a degree, and a page that comes later as well', () => {
    const feed = testFeed();
    const count = saltCount([{ at: START, hole: 'left', g: 1000 / 3 }], [], defaultPlan(), START);
    const heat = { beganAt: START, peakC: 1210.26, lowC: 1209.94, nowC: 1230, shortC: 0 };
    feed.publish({ kind: 'salting', salting: { at: START, count, heat, earlier: [heat], say: 'go' } });
    const [told] = messagesOf(feed);
    expect(told).toMatchObject({
      type: 'salting',
      count: { inKg: 0.333, next: 'right', hclAtMostKg: 0.208 },
      heat: { peakC: 1210.3, lowC: 1209.9, nowC: 1230, shortC: 0 },
      earlier: [{ beganAt: START, peakC: 1210.3, lowC: 1209.9, nowC: 1230, shortC: 0 }],
      say: 'go',
    });
    expect(feed.welcome(300).last.salting).toEqual(told);
  });

  it('puts a late reading in the curve and shows it as nothing newer', () => {
    const feed = testFeed();
    feed.publish(readingOf(0, { low: 700 }, { kilnC: 700 }));
    feed.publish(readingOf(2, { low: 702 }, { kilnC: 702 }));
    feed.publish(readingOf(1, { low: 650 }, { late: true }));
    const { curve, last } = feed.welcome(1000);
    expect(curve.at).toEqual([START, START + 1000, START + 2000]);
    expect(curve.probes.find(({ probe }) => probe === 'low')?.tempC).toEqual([700, 650, 702]);
    // What the kiln was is not known from a late reading; two seconds are no gap.
    expect(curve.kiln).toEqual([700, 701, 702]);
    expect(last.reading?.at).toBe(START + 2000);
    expect(feed.beat().lastReadingAt).toBe(START + 2000);
  });

  it('sends with each reading what the curve draws of it', () => {
    const feed = testFeed();
    feed.publish(readingOf(0, { low: 812 }, { flags: ['stuck'] }));
    const [message] = messagesOf(feed);
    expect(message).toMatchObject({ probes: [{ tempC: 812, curveC: null }] });
    expect(feed.welcome(500).curve.probes[0]?.tempC).toEqual([null]);
  });

  it('joins the last figures of the other boards, and none that are stale', () => {
    const feed = testFeed();
    const flue = { name: 'flue', couple: 'K' as const, form: { kind: 'uv' as const } };
    feed.noteHello(START, { ...HELLO, board: 'shed-2', periodMs: 10_000, probes: [flue] });
    feed.publish(readingOf(0, { flue: 300 }, { board: 'shed-2' }));
    feed.publish(readingOf(30, { low: 800, high: 790 }));
    const figures = () => feed.welcome(500).last.reading?.probes.map(({ probe, tempC }) => [probe, tempC]);
    expect(figures()).toEqual([
      ['flue', 300],
      ['low', 800],
      ['high', 790],
    ]);
    feed.publish(readingOf(51, { low: 801, high: 791 }));
    expect(figures()?.[0]).toEqual(['flue', null]);
  });

  it('tells two boards apart that call a probe by the same name', () => {
    const feed = testFeed();
    feed.noteHello(START, { ...HELLO, board: 'shed-2', boot: '00000001' });
    expect(feed.welcome(500).probes.map(({ name }) => name)).toEqual([
      'low',
      'high',
      'shed-2 low',
      'shed-2 high',
    ]);
  });

  it('asks the pages to load afresh when a hello brings a new probe, and only then', () => {
    const feed = testFeed();
    const news: boolean[] = [];
    feed.onNews((fresh) => news.push(fresh));
    feed.noteHello(START, { ...HELLO, boot: '00000002' });
    expect(news).toEqual([]);
    feed.noteHello(START, { ...HELLO, board: 'shed-2' });
    expect(news).toEqual([true]);
  });
});

describe('alerts', () => {
  /** What the core puts out of them: raised and cleared as told, answered by entries. */
  function alertsOf(feed: Feed) {
    const standings = newStandings();
    return {
      tell: (second: number, state: AlertOutput['state'], name: AlertOutput['name']) => {
        const alert = alertOf(second, state, name);
        standingAfter(standings, alert, 'climbing');
        feed.publish(alert);
      },
      log: (second: number, entry: Record<string, unknown>, undone: KnownLogEntry | null = null) => {
        const log = knownLogEntrySchema.parse({ who: 'Mira', where: "Mira's phone", ...entry });
        for (const change of standingLogged(standings, START + second * 1000, log, undone, 'climbing'))
          feed.publish({ kind: 'standing', ...change });
      },
    };
  }

  it('are answered by an ack that names their id, and cleared after', () => {
    const feed = testFeed();
    const alerts = alertsOf(feed);
    alerts.tell(5, 'raised', 'stall');
    const id = `stall//${START + 5000}`;
    alerts.log(9, { log: 'ack', alert: id });
    alerts.tell(20, 'cleared', 'stall');
    const states = messagesOf(feed).flatMap((message) =>
      message.type === 'alert' ? [[message.state, message.alert.id, message.alert.acknowledged]] : [],
    );
    const acknowledged = {
      at: START + 9000,
      who: 'Mira',
      where: "Mira's phone",
      stage: 'climbing',
      by: null,
    };
    expect(states).toEqual([
      ['raised', id, null],
      ['acknowledged', id, acknowledged],
      ['cleared', id, acknowledged],
    ]);
    expect(feed.welcome(500).alerts).toMatchObject([
      {
        alert: { id, acknowledged, text: 'stall raised.' },
        clearedAt: START + 20_000,
        clearedText: 'stall cleared.',
      },
    ]);
  });

  it('of one name are all answered by an ack of the name; those that are over stay as they were', () => {
    const feed = testFeed();
    const alerts = alertsOf(feed);
    alerts.tell(5, 'raised', 'stall');
    alerts.tell(6, 'cleared', 'stall');
    alerts.tell(300, 'raised', 'stall');
    alerts.log(301, { log: 'ack', alert: 'stall' });
    expect(feed.welcome(500).alerts.map(({ alert }) => alert.acknowledged?.at ?? null)).toEqual([
      null,
      START + 301_000,
    ]);
  });

  it('call again when the ack is undone', () => {
    const feed = testFeed();
    const alerts = alertsOf(feed);
    alerts.tell(5, 'raised', 'over-heat');
    const ack = knownLogEntrySchema.parse({ log: 'ack', alert: 'over-heat', id: 'ack-1' });
    alerts.log(9, ack);
    alerts.log(10, { log: 'undo', id: 'ack-1' }, ack);
    expect(messagesOf(feed).at(-1)).toMatchObject({
      type: 'alert',
      state: 'raised',
      alert: { acknowledged: null },
    });
  });

  it('are told when they are shelved, and say what they say now without being raised again', () => {
    const feed = testFeed();
    const alerts = alertsOf(feed);
    alerts.tell(5, 'raised', 'uneven');
    alerts.log(9, { log: 'shelve', alert: 'uneven', minutes: 10 });
    const until = START + 609_000;
    expect(messagesOf(feed).at(-1)).toMatchObject({
      state: 'changed',
      alert: { shelved: { until, who: 'Mira' } },
    });
    const { alert } = feed.welcome(500).alerts[0] ?? {};
    if (!alert) throw new Error('no alert');
    const standing = {
      ...alert,
      returnedAt: null,
      acknowledged: null,
      shelved: null,
      suppressed: false,
      easing: false,
    };
    const fresh = { ...standing, text: 'More uneven still.' };
    feed.publish({ kind: 'standing', at: START + 70_000, change: 'said', standing: fresh });
    expect(feed.welcome(500).alerts).toMatchObject([
      { alert: { raisedAt: START + 5000, text: 'More uneven still.', raisedText: 'uneven raised.' } },
    ]);
  });

  it('that were never up are not cleared', () => {
    const feed = testFeed();
    feed.publish(alertOf(5, 'cleared', 'stall'));
    expect(feed.newest()).toBe(0);
  });
});

describe('the log book', () => {
  it('marks what an undo names and what a row replaces', () => {
    const feed = testFeed();
    feed.publishLog(loggedOf(1, 'salt', { id: 'salt-1', hole: 'left' }));
    const first = loggedOf(2, 'salt', { id: 'salt-2', hole: 'right' });
    feed.publishLog(first);
    feed.publishLog(loggedOf(3, 'undo', { id: 'salt-1' }));
    feed.publishLog({ ...loggedOf(4, 'salt', { id: 'salt-2', hole: 'right' }), replaces: first.entry });
    expect(feed.welcome(500).log.map(({ log, undone }) => [log, undone])).toEqual([
      ['salt', true],
      ['salt', true],
      ['undo', false],
      ['salt', false],
    ]);
    // What was sent when it happened stays as it was.
    expect(messagesOf(feed)[0]).toMatchObject({ logged: { undone: false } });
  });

  it('knows an entry by its id, and an undo by the id that it names', () => {
    const feed = testFeed();
    feed.publishLog(loggedOf(1, 'salt', { id: 'salt-1', hole: 'left' }));
    expect(feed.hasEntry('salt', 'salt-1')).toBe(true);
    expect(feed.hasEntry('undo', 'salt-1')).toBe(false);
    feed.publishLog(loggedOf(3, 'undo', { id: 'salt-1' }));
    expect(feed.hasEntry('undo', 'salt-1')).toBe(true);
  });

  it('brings a changed plan to the page, and the old one back when it is undone', () => {
    const feed = testFeed();
    const planNow = () => {
      const { firstPlan, log } = feed.welcome(500);
      return presentPlan(firstPlan, log);
    };
    feed.publishLog(loggedOf(1, 'plan', { ...defaultPlan(), id: 'plan-2', topC: 1250 }));
    expect(planNow().topC).toBe(1250);
    feed.publishLog(loggedOf(2, 'undo', { id: 'plan-2' }));
    expect(planNow()).toEqual(defaultPlan());
  });
});

describe('what is kept to be sent again', () => {
  it('is the newest 5,000 messages', () => {
    const feed = testFeed();
    for (let second = 0; second < 6000; second += 1) feed.publish(readingOf(second, { low: 700 }));
    expect(feed.newest()).toBe(6000);
    expect(feed.keepsAfter(999)).toBe(false);
    expect(feed.keepsAfter(1000)).toBe(true);
    expect(feed.message(1000)).toBeNull();
    expect(JSON.parse(String(feed.message(1001)))).toMatchObject({ n: 1001, at: START + 1_000_000 });
    expect(feed.message(6001)).toBeNull();
    expect(feed.keepsAfter(6001)).toBe(false);
  });

  it('is nothing of what happened before anybody listened: a recovered firing comes with the welcome', () => {
    const feed = createFeed({
      run: 'run-1',
      clock: testClock(),
      source: 'board',
      firing: { id: 'a', name: 'a', startedAt: null },
      plan: defaultPlan(),
    });
    for (let second = 0; second < 10; second += 1) feed.publish(readingOf(second, { low: 700 + second }));
    expect([feed.newest(), feed.message(10), feed.keepsAfter(9), feed.keepsAfter(10)]).toEqual([
      10,
      null,
      false,
      true,
    ]);
    feed.onNews(() => undefined);
    feed.publish(readingOf(10, { low: 710 }));
    expect([feed.message(10), feed.keepsAfter(10)]).toEqual([null, true]);
    expect(JSON.parse(String(feed.message(11)))).toMatchObject({ n: 11 });
    expect(feed.welcome(500).curve.at).toHaveLength(11);
    expect(feed.welcome(500).n).toBe(11);
  });

  it('is no more than 8 MB, however long the messages', () => {
    const feed = testFeed();
    const note = 'x'.repeat(50_000);
    for (let second = 0; second < 400; second += 1) feed.publishLog(loggedOf(second, 'note', { note }));
    expect(feed.bytesAfter(0)).toBeLessThanOrEqual(8_000_000);
    expect(feed.bytesAfter(0)).toBeGreaterThan(7_000_000);
    expect(feed.message(400)).not.toBeNull();
  });
});
