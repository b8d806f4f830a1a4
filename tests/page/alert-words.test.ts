/** An alert's words as the kiln goes on: what moves is told anew, and never speaks against the figure below it. */
import { describe, expect, it } from 'vitest';
import { alertHead, alertWords } from '../../dashboard/alert-words.ts';
import type { Firing } from '../../dashboard/firing.ts';
import { liveMoment } from '../../dashboard/moment.ts';
import { sayClock } from '../../dashboard/say.ts';
import { ALERT_NAMES } from '../../protocol/alert-names.ts';
import type { ActiveAlert } from '../../protocol/firing-record.ts';
import { follow, HOUR, heard, MINUTE, readingAt, welcomed } from './pages.ts';
import { alertOf, LIT_AT, stokesUntil } from './story.ts';

const NOW = LIT_AT + 13 * HOUR;

function words(alert: ActiveAlert, firing: Partial<Firing> = {}) {
  const moment = liveMoment(follow(welcomed(), heard(readingAt(NOW - 1000, 11))));
  if (moment === null) throw new Error('no firing');
  const { what, todo } = alertWords(alert, { ...moment, firing: { ...moment.firing, ...firing } }, 'F');
  return [what, todo].map((text) => text?.replaceAll('\u00a0', ' ') ?? null);
}

const kiln = (climbCPerH: number) => ({ smoothC: 1000, climbCPerH, climbSdCPerH: 4 });
const alert = (name: ActiveAlert['name'], text: string) =>
  alertOf(name, 'look-soon', NOW - 20 * MINUTE, text);

describe('an alert that stands', () => {
  const falling = alert('falling', 'The kiln loses heat: down 64 °F (36 °C) an hour. Is somebody stoking?');

  it.each([
    [-40, 'The kiln loses heat: 72 °F an hour.', 'Is somebody stoking?'],
    [-1, 'The kiln stands still.', 'Is somebody stoking?'],
    [6, 'The kiln hardly climbs: 11 °F an hour.', 'Is somebody stoking?'],
    [30, 'It climbs again: 54 °F an hour.', 'Watch it through two or three stokes to be sure.'],
  ])('with the kiln at %i °C an hour says: %s', (climb, what, todo) => {
    expect(words(falling, { kiln: kiln(climb) })).toEqual([what, todo]);
  });

  it('does not say that it climbs again of one just raised, whose climb is still that of before', () => {
    const late = {
      ...falling,
      text: 'The kiln loses heat, for about 10 minutes (80 % sure). Is somebody stoking?',
    };
    const at = (agoMin: number, easing = false) =>
      words({ ...late, raisedAt: NOW - agoMin * MINUTE, easing }, { kiln: kiln(30) })[0];
    expect(at(4)).toBe('The kiln loses heat, for about 10 minutes (80 % sure).');
    expect(at(6)).toBe('It climbs again: 54 °F an hour.');
    expect(at(4, true)).toBe('It climbs again: 54 °F an hour.');
  });

  it('counts down to salting heat, and goes by no forecast where there is none', () => {
    const soon = alert('salting-soon', 'Salting heat in about 28 minutes. Have dry salt ready.');
    const forecast = (mid: number) => ({
      type: 'forecast' as const,
      n: 1,
      at: NOW - 18 * MINUTE,
      toSaltingMs: { low: mid, mid, high: mid },
    });
    expect(words(soon, { forecast: forecast(28 * MINUTE) })).toEqual([
      'Salting heat in about 10 minutes.',
      'Have dry salt ready.',
    ]);
    expect(words(soon, { forecast: null })[0]).toBe('Salting heat is near.');
  });

  it('tells how fast it climbs now, beside the limit', () => {
    const fast = alert(
      'climb-too-fast',
      'Climbing 65 °F (36 °C) an hour. Below 248 °F (120 °C) keep under 50 °F (28 °C) an hour: raw ware can burst.',
    );
    expect(words(fast, { kiln: kiln(31) })).toEqual([
      'Climbing 56 °F an hour.',
      'Below 248 °F keep under 50 °F an hour: raw ware can burst.',
    ]);
  });

  it('counts since the last stoke', () => {
    const due = alert('stoke-due', 'Time to stoke. The last stoke was 7 minutes ago.');
    const last = stokesUntil(NOW).at(-1) ?? 0;
    expect(NOW - last).toBe(10 * MINUTE);
    expect(words(due)).toEqual(['Time to stoke.', 'The last stoke was 10 minutes ago.']);
  });

  it('says that it looks over while it eases, and until when it is put aside', () => {
    const hot = alert('over-heat', "Probe top is 9 °F (5 °C) from its couple's limit. Pull it or hold.");
    const head = (part: Partial<ActiveAlert>) => alertHead({ ...hot, ...part }, NOW);
    expect(head({}).word).toBe('Look soon');
    expect(head({ easing: true })).toEqual({ word: 'Looks over', since: head({}).since });
    expect(head({ shelved: { at: NOW, until: NOW + HOUR, who: null } })).toEqual({
      word: 'Look soon',
      since: `quiet until ${sayClock(NOW + HOUR)}`,
    });
    expect(words({ ...hot, easing: true })).toEqual(['It is cooler again.', 'If that lasts, this ends.']);
    // Nothing that the alert said of the moment of its raising is said of one that is over.
    for (const name of ALERT_NAMES.filter((each) => each !== 'stall' && each !== 'falling'))
      expect(words({ ...alert(name, 'So it was.'), easing: true })[0], name).not.toMatch(
        /So it was|[Hh]ot enough/,
      );
  });

  it('of a silent board says how long nothing was heard, and of one beside which another speaks, what was said of it', () => {
    const silent = alert('link-silent', 'Nothing from board shed-2 for 5 minutes. Look at its cable.');
    expect(words(silent)).toEqual(['Nothing from board shed-2 for 5 minutes.', 'Look at its cable.']);
    const moment = liveMoment(follow(welcomed(), heard(readingAt(NOW - 1000, 11))));
    if (moment === null) throw new Error('no firing');
    const old = { ...moment, fresh: { ...moment.fresh, ageMs: 6 * MINUTE, stale: true } };
    expect(alertWords(silent, old, 'F').what.replaceAll('\u00a0', ' ')).toBe(
      'No word from the board for 6 minutes.',
    );
  });

  it('keeps its own words where nothing of them moves', () => {
    expect(words(alert('probe-fault', 'Probe top: its circuit is open. Look at the wires.'))).toEqual([
      'Probe top: its circuit is open.',
      'Look at the wires.',
    ]);
    expect(words(alert('board-hot', 'One sentence without more'))).toEqual([
      'One sentence without more',
      null,
    ]);
  });
});
