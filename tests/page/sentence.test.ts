import { describe, expect, it } from 'vitest';
import { type Firing, standingAlerts } from '../../dashboard/firing.ts';
import type { Moment } from '../../dashboard/moment.ts';
import { sayClock } from '../../dashboard/say.ts';
import { sentenceOf, sentenceWithoutFiring } from '../../dashboard/sentence.ts';
import type { ActiveAlert } from '../../protocol/firing-record.ts';
import type { Stage } from '../../protocol/stages.ts';
import { follow, HOUR, heard, MINUTE, readingAt, welcomed } from './pages.ts';
import { alertOf, LIT_AT, STALL_TEXT } from './story.ts';

const NOW = LIT_AT + 13 * HOUR;
const FRESH = { ageMs: 1000, stale: false, quietForMs: null };

interface Part {
  firing?: Partial<Firing>;
  fresh?: Partial<Moment['fresh']>;
  log?: Moment['log'];
  links?: Moment['links'];
  alerts?: ActiveAlert[];
}

function moment({ firing: part = {}, fresh = {}, log = [], links = [], alerts = [] }: Part = {}): Moment {
  const { firing } = follow(welcomed(), heard(readingAt(NOW - 1000, 11)));
  if (!firing) throw new Error('no firing');
  const standing = alerts.map((alert) => ({ alert, clearedAt: null }));
  return {
    firing: { ...firing, alerts: standing, ...part },
    log,
    now: NOW,
    fresh: { ...FRESH, ...fresh },
    links,
  };
}

const say = (part?: Part) => {
  const { lines, tone } = sentenceOf(moment(part), 'F', 'open');
  return { words: lines.join(' ').replaceAll('\u00a0', ' '), tone };
};

const kiln = (climbCPerH: number, smoothC = 1000) => ({ smoothC, climbCPerH, climbSdCPerH: 4 });
const entry = (log: string, json: Record<string, unknown> = {}) => ({
  entry: 1,
  id: `${log}${JSON.stringify(json)}`,
  at: NOW,
  madeAt: NOW,
  who: '',
  where: '',
  log,
  json,
  undone: false,
  pending: false,
});

describe('the sentence when all is well', () => {
  it('says the climb, and when salting heat is due', () => {
    const forecast = {
      type: 'forecast' as const,
      n: 1,
      at: NOW,
      toSaltingMs: { low: HOUR, mid: 1.5 * HOUR, high: null },
    };
    expect(say({ firing: { kiln: kiln(34.5), forecast } }).words).toBe(
      'Climbing 62 °F an hour. Salting heat in about 1½ hours.',
    );
  });

  it.each<[Stage, number, string]>([
    ['candling', 27, 'Candling. Climbing 49 °F an hour.'],
    ['climbing', 1, 'Standing still. Salting heat: too soon to say.'],
    ['climbing', -20, 'Falling 36 °F an hour. Salting heat: too soon to say.'],
    ['cooling', -40, 'Cooling 72 °F an hour. Keep it shut until every probe is below 400 °F.'],
    // A closed kiln takes about five days to cool (common practice, no source): in the end some 4 °F an hour.
    ['cooling', -2.2, 'Cooling 4 °F an hour. Keep it shut until every probe is below 400 °F.'],
  ])('in %s with %i °C an hour: %s', (stage, climb, words) => {
    expect(say({ firing: { stage, kiln: kiln(climb) } }).words).toBe(words);
  });

  it('says of a loose forecast only what is sure, always in one line', () => {
    const ahead = (mid: number, high: number | null) => ({
      type: 'forecast' as const,
      n: 1,
      at: NOW,
      toSaltingMs: { low: mid / 2, mid, high },
    });
    expect(say({ firing: { kiln: kiln(28), forecast: ahead(40 * HOUR, null) } }).words).toBe(
      'Climbing 50 °F an hour. Salting heat in over 20 hours.',
    );
    expect(say({ firing: { kiln: kiln(28), forecast: null } }).words).toBe(
      'Climbing 50 °F an hour. Salting heat: too soon to say.',
    );
    expect(say({ firing: { kiln: kiln(28), forecast: ahead(11 * HOUR, 20 * HOUR) } }).words).toContain(
      'Salting heat in about 11 hours.',
    );
  });

  it('once the kiln may be unbricked says that first', () => {
    const ready = alertOf(
      'ready-to-unbrick',
      'note',
      NOW,
      'Cool enough to unbrick: the hottest probe shows 399 °F (204 °C). Open slowly.',
    );
    const firing = {
      stage: 'cooling' as const,
      kiln: kiln(-2, 203),
      alerts: [{ alert: ready, clearedAt: null }],
    };
    expect(say({ firing })).toEqual({ words: 'Cool enough to unbrick. Open slowly.', tone: 'calm' });
  });

  it('counts the salt while salting', () => {
    const log = [entry('salt', { hole: 'left', g: 4535.9237 })];
    expect(say({ firing: { stage: 'salting', kiln: kiln(20, 1230) }, log }).words).toBe(
      'Salting: 10.0 lb in, 40.0 lb to go. Climbing 36 °F an hour.',
    );
  });

  it('says plainly while the climb is not known', () => {
    const young = { smoothC: 60, climbCPerH: null, climbSdCPerH: null };
    expect(say({ firing: { stage: 'candling', kiln: young } }).words).toBe(
      'Candling. The climb is not known yet.',
    );
  });

  it('before the fire is lit says so', () => {
    expect(say({ firing: { stage: 'before', stages: [], kiln: kiln(0, 12) } }).words).toBe(
      'Not lit yet. The kiln stands at 54 °F.',
    );
  });

  it('goes by cones and draws once every couple was pulled', () => {
    const log = ['front', 'back', 'top'].map((probe) => entry('pulled', { probe }));
    expect(
      say({ firing: { kiln: { smoothC: null, climbCPerH: null, climbSdCPerH: null } }, log }).words,
    ).toBe('No couple in the kiln: go by cones and draws.');
  });
});

describe('the sentence when something is wrong', () => {
  const stall = alertOf('stall', 'look-soon', NOW - 20 * MINUTE, STALL_TEXT);
  const falling = alertOf('falling', 'come-now', NOW, 'Falling 40 °F an hour. Stoke.');
  const note = alertOf('stoke-due', 'note', NOW, 'The heat has peaked: stoke the right hole.');

  it('is the most urgent alert, first what is so and then why', () => {
    const standing = { ...moment({ alerts: [note, stall] }) };
    standing.firing = { ...standing.firing, kiln: kiln(1) };
    const { lines, tone, alert } = sentenceOf(standing, 'F', 'open');
    expect(lines[0]).toBe('The kiln stands still.');
    expect(lines[1]).toMatch(/^Embers may be choking/);
    expect(tone).toBe('look-soon');
    expect(alert?.id).toBe(stall.id);
    expect(sentenceOf(moment({ alerts: [note, stall, falling] }), 'F', 'open').alert?.id).toBe(falling.id);
  });

  it('puts what nobody has heard before what was heard', () => {
    const later = { ...alertOf('uneven', 'look-soon', NOW - HOUR, 'Front hotter than back.') };
    const heardFall = { ...falling, acknowledged: { at: NOW, who: null } };
    expect(sentenceOf(moment({ alerts: [heardFall, later] }), 'F', 'open').alert?.id).toBe(later.id);
  });

  it('goes on saying what was heard, without calling; also while the answer is on its way', () => {
    const later = alertOf('uneven', 'look-soon', NOW - HOUR, 'Front hotter than back.');
    const log = [entry('ack', { alert: later.id })];
    expect(say({ alerts: [later] }).tone).toBe('look-soon');
    expect(say({ alerts: [later], log })).toEqual({ words: 'Front hotter than back.', tone: 'heard' });
  });

  it('tells what eases or is put aside without calling, behind what calls', () => {
    const uneven = alertOf('uneven', 'look-soon', NOW - HOUR, 'Front hotter than back.');
    for (const put of [{ easing: true }, { shelved: { at: NOW, until: NOW + HOUR, who: null } }]) {
      const quiet = { ...falling, ...put };
      expect(say({ alerts: [quiet] }).tone).toBe('heard');
      expect(sentenceOf(moment({ alerts: [quiet, uneven] }), 'F', 'open').alert?.id).toBe(uneven.id);
    }
  });

  it('tells a stall beneath a fall that eases, and else only the fall', () => {
    const told = (fall: ActiveAlert) => sentenceOf(moment({ alerts: [fall, stall] }), 'F', 'open').alert?.id;
    expect(told({ ...falling, easing: true })).toBe(stall.id);
    expect(told(falling)).toBe(falling.id);
    const log = [entry('ack', { alert: falling.id })];
    const heard = standingAlerts(moment({ alerts: [falling, stall] }).firing, log);
    expect(heard.map(({ id }) => id)).toEqual([falling.id]);
  });

  it('does not call a salting window out any more once somebody salts', () => {
    const open = alertOf(
      'salting-window',
      'come-now',
      NOW,
      'Hot enough for salt: 2204 °F (1207 °C). Small charges.',
    );
    const log = [entry('salt', { hole: 'left', g: 4535.9237 })];
    const alerts = [{ alert: open, clearedAt: null }];
    expect(say({ firing: { stage: 'climbing', kiln: kiln(20, 1207), alerts } })).toEqual({
      words: 'Hot enough for salt. Small charges.',
      tone: 'come-now',
    });
    expect(say({ firing: { stage: 'salting', kiln: kiln(20, 1207), alerts }, log }).tone).toBe('calm');
    const anew = [{ alert: { ...open, raisedAt: NOW + HOUR }, clearedAt: null }];
    expect(say({ firing: { stage: 'salting', kiln: kiln(20, 1207), alerts: anew }, log }).tone).toBe(
      'come-now',
    );
  });

  it('says of a kiln that falls only that, though it stalls as well', () => {
    const names = standingAlerts(moment({ alerts: [stall, falling] }).firing, []).map(({ name }) => name);
    expect(names).toEqual(['falling']);
  });

  it('adds a note after the climb, calmly', () => {
    const { words, tone } = say({ firing: { kiln: kiln(34.5), alerts: [{ alert: note, clearedAt: null }] } });
    expect(words).toBe('Climbing 62 °F an hour. The heat has peaked: stoke the right hole.');
    expect(tone).toBe('calm');
  });

  it('says for how long the board has been silent, and what its link says', () => {
    const links = [
      {
        link: 'kiln',
        state: 'unplugged' as const,
        text: 'The board is unplugged: look at the cable.',
        badLines: 0,
      },
    ];
    expect(say({ fresh: { ageMs: 40_000, stale: true }, links })).toEqual({
      words: 'No word from the board for 40 seconds. The board is unplugged: look at the cable.',
      tone: 'lost',
    });
  });

  it('says that the collector is not heard before anything else', () => {
    expect(say({ fresh: { quietForMs: 12_000, stale: true, ageMs: 99_000 }, alerts: [falling] })).toEqual({
      words: `No word from the kiln's computer for 12 seconds. Not connected: this is what was known at ${sayClock(moment().now).replace('\u00a0', ' ')}. Go by your cones.`,
      tone: 'lost',
    });
  });

  it('says of an old page to load it again', () => {
    expect(sentenceOf(moment(), 'F', 'old-page').lines).toEqual(['This page is old: load it again.']);
    expect(sentenceWithoutFiring('old-page', null).tone).toBe('lost');
    expect(sentenceWithoutFiring('lost', 7000).lines[0]).toMatch(/^No word from the kiln's computer for 7/);
  });
});
