import { describe, expect, it } from 'vitest';
import type { Firing } from '../../dashboard/firing.ts';
import { type Moment, sentenceOf, sentenceWithoutFiring } from '../../dashboard/sentence.ts';
import type { ActiveAlert } from '../../protocol/live-messages.ts';
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
      'Climbing 62 °F an hour. Salting heat in about an hour and a half.',
    );
  });

  it.each<[Stage, number, string]>([
    ['candling', 27, 'Candling, climbing 49 °F an hour.'],
    ['climbing', 1, 'Standing still.'],
    ['climbing', -20, 'Falling 36 °F an hour.'],
    ['cooling', -40, 'Cooling 72 °F an hour.'],
  ])('in %s with %i °C an hour: %s', (stage, climb, words) => {
    expect(say({ firing: { stage, kiln: kiln(climb) } }).words).toBe(words);
  });

  it('counts the salt while salting', () => {
    const log = [entry('salt', { hole: 'left', g: 4535.9237 })];
    expect(say({ firing: { stage: 'salting', kiln: kiln(20, 1230) }, log }).words).toBe(
      'Salting: 10.0 lb in, 40.0 lb to go. Climbing 36 °F an hour.',
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
    const { lines, tone, alert } = sentenceOf(moment({ alerts: [note, stall] }), 'F', 'open');
    expect(lines[0]).toBe('Standing still for 20 minutes.');
    expect(lines[1]).toMatch(/^Embers may be choking/);
    expect(tone).toBe('look-soon');
    expect(alert?.id).toBe(stall.id);
    expect(sentenceOf(moment({ alerts: [note, stall, falling] }), 'F', 'open').alert?.id).toBe(falling.id);
  });

  it('puts what nobody has heard before what was heard', () => {
    const later = { ...alertOf('uneven', 'look-soon', NOW - HOUR, 'Front hotter than back.') };
    const heardStall = { ...stall, acknowledged: { at: NOW, who: null } };
    expect(sentenceOf(moment({ alerts: [heardStall, later] }), 'F', 'open').alert?.id).toBe(later.id);
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
      words:
        'No word from the collector for 12 seconds. The figures below are old: go by the read-out at the kiln.',
      tone: 'lost',
    });
  });

  it('says of an old page to load it again', () => {
    expect(sentenceOf(moment(), 'F', 'old-page').lines).toEqual(['This page is old: load it again.']);
    expect(sentenceWithoutFiring('old-page', null).tone).toBe('lost');
    expect(sentenceWithoutFiring('lost', 7000).lines[0]).toMatch(/^No word from the collector for 7/);
  });
});
