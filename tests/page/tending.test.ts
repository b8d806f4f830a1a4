/** The salting page, the stoking page and the log book: their words, and the pages themselves in a browser. */
import { describe, expect, it } from 'vitest';
import type { Entry, Firing } from '../../dashboard/firing.ts';
import { logLines } from '../../dashboard/log/log-lines.ts';
import { entryWords } from '../../dashboard/log-words.ts';
import type { Moment } from '../../dashboard/moment.ts';
import { withWaiting } from '../../dashboard/outbox.ts';
import { firingAt } from '../../dashboard/replay.ts';
import { saltNow } from '../../dashboard/salt.ts';
import { ringWords, saltAdvice, saltingIsNear } from '../../dashboard/salting/salting-words.ts';
import { stokeAdvice, woodLasts } from '../../dashboard/stoking/stoking-page-words.ts';
import { hasChromium } from '../support/browser.ts';
import { entries, PATIENCE, pageInBrowser } from './in-browser.ts';
import { LIT_AT, recordAt } from './story.ts';

const MINUTE = 60_000;
const NOW = LIT_AT + 16 * 60 * MINUTE;
const plain = firingAt(recordAt(16), NOW);
const KILN = { smoothC: 1230, climbCPerH: 10, climbSdCPerH: 4 };

function row(id: string, log: string, json: Record<string, unknown>, part: Partial<Entry> = {}): Entry {
  const at = NOW - 10 * MINUTE;
  const rest = { entry: 900, at, madeAt: at, who: '', where: '', undone: false, pending: false };
  return { ...rest, id, log, json, ...part };
}

function momentOf(part: Partial<Firing> = {}, log: Entry[] = []): Moment {
  const fresh = { ageMs: 0, stale: false, quietForMs: null };
  return { firing: { ...plain, kiln: KILN, alerts: [], ...part }, log, now: NOW, fresh, links: [] };
}

const adviceOf = (moment: Moment) => saltAdvice(saltNow(moment), moment, 'F');
const SALT = row('s', 'salt', { hole: 'left', g: 1000 });

describe('what the salting page says', () => {
  it.each<[string, string, Partial<Firing>, Entry[]]>([
    ['go', 'Go on.', { saltHeat: { beganAt: 0, peakC: 1231, lowC: 1220, nowC: 1230, shortC: 0 } }, [SALT]],
    [
      'go',
      'Small charges only.',
      { saltHeat: { beganAt: 0, peakC: 1236, lowC: 1220, nowC: 1230, shortC: 6 } },
      [SALT],
    ],
    [
      'stop',
      'Wait for the heat.',
      { saltHeat: { beganAt: 0, peakC: 1245, lowC: 1220, nowC: 1230, shortC: 15 } },
      [SALT],
    ],
    ['stop', 'Wait: too hot.', { kiln: { ...KILN, smoothC: 1300 } }, [SALT]],
    ['go', 'No temperature: go by cones and draws.', { kiln: { ...KILN, smoothC: null } }, [SALT]],
    ['go', 'Hot enough: begin.', { stage: 'climbing' }, []],
    ['rest', 'Not hot enough yet.', { stage: 'climbing', kiln: { ...KILN, smoothC: 1100 } }, []],
    ['rest', 'All the planned salt is in.', {}, [row('s', 'salt', { hole: 'left', g: 22_700 })]],
    ['rest', 'Salting is over.', { stage: 'soak' }, [SALT]],
    ['rest', 'Salting is over.', {}, [SALT, row('e', 'end-salt', {})]],
  ])('%s: %s', (tone, what, firing, log) => {
    expect(adviceOf(momentOf({ stage: 'salting', ...firing }, log))).toMatchObject({ tone, what });
  });

  it('says how far below the peak it is, in the degrees that are read', () => {
    const moment = momentOf(
      { stage: 'salting', saltHeat: { beganAt: 0, peakC: 1245, lowC: 1220, nowC: 1230, shortC: 15 } },
      [SALT],
    );
    expect(adviceOf(moment).more).toContain('27\u00a0°F below the peak');
  });

  it('counts the rings and says what the last one says', () => {
    const log = [SALT, row('d', 'draw', { thickness: 'thin' }, { at: NOW })];
    expect(ringWords(saltNow(momentOf({}, log)), 'F').join(' ')).toMatch(
      /^1 out, of 4 .*next one at 25\.0.lb.*thin: more salt/,
    );
  });

  it('is one touch away from an hour before salting heat on', () => {
    const to = (mid: number) => ({
      ...momentOf({
        stage: 'climbing',
        kiln: { ...KILN, smoothC: 1100 },
        forecast: { type: 'forecast', n: 1, at: NOW, toSaltingMs: { low: 0, mid, high: null } },
      }),
    });
    expect(saltingIsNear(to(59 * MINUTE))).toBe(true);
    expect(saltingIsNear(to(61 * MINUTE))).toBe(false);
  });
});

describe('what the stoking page says', () => {
  const stoking = (next: NonNullable<Firing['stoking']>['next']): Partial<Firing> => ({
    stage: 'climbing',
    stoking: { type: 'stoking', n: 1, at: NOW, next, gain: null, fuel: null },
  });
  const due = (mid: number) => ({ low: mid, mid, high: mid + 3 * MINUTE });
  it.each<[string, string, Partial<Firing>]>([
    ['go', 'Stoke now.', stoking({ dueInMs: due(0), peaked: true, hole: 'left' })],
    ['rest', 'Any moment now.', stoking({ dueInMs: due(20_000), peaked: false, hole: null })],
    [
      'rest',
      'Stoke in about 4 minutes.',
      stoking({ dueInMs: due(4 * MINUTE), peaked: false, hole: 'right' }),
    ],
    ['go', 'Stoke when the heat goes down.', stoking(null)],
    ['rest', 'The kiln is not being fired.', { stage: 'cooling' }],
  ])('%s: %s', (tone, what, firing) => {
    expect(stokeAdvice(momentOf(firing))).toMatchObject({ tone, what });
  });

  it.each([
    [5, 4, /lasts to the end/],
    [3, 4, /too little/i],
  ])('with wood for %i hours and %i to go', (lasts, toEnd, says) => {
    expect(woodLasts({ lastsMs: lasts * 60 * MINUTE, toEndMs: toEnd * 60 * MINUTE })).toMatch(says);
  });
});

describe('a line of the log book', () => {
  const lineOf = (...log: Entry[]) => logLines(momentOf({}, log), 'F', 'phone 3f9a').at(-1);
  it.each<[string, Partial<Entry>, string[]]>([
    ['who and on this phone', { who: 'Mira', where: 'phone 3f9a' }, ['by Mira', 'on this phone']],
    ['another phone', { where: 'phone 0012' }, ['on phone 0012']],
    ['the button', { where: 'button' }, ["at the board's button"]],
    ['the collector', { where: 'collector' }, ['by Spyhole itself']],
    ['an unknown place', { where: '192.0.2.7' }, []],
  ])('tells %s', (_, part, more) => {
    expect(lineOf(row('a', 'stoke', { hole: 'left' }, part))?.more).toEqual(more);
  });

  it('tells that it was written down later', () => {
    expect(lineOf(row('a', 'stoke', {}, { madeAt: NOW }))?.more.join()).toMatch(/^written down /);
  });

  it('shows what was mended once, with the time that stood before', () => {
    const log = [
      row('a', 'stoke', { hole: 'left' }, { undone: true }),
      row('b', 'stoke', { hole: 'left', mends: 'a' }, { at: NOW - 20 * MINUTE, undone: true }),
      row('c', 'stoke', { hole: 'left', mends: 'b' }, { at: NOW - 30 * MINUTE }),
    ];
    const lines = logLines(momentOf({}, log), 'F', null);
    expect(lines.map(({ at }) => at)).toEqual([NOW - 30 * MINUTE]);
    expect(lines[0]?.more.join()).toMatch(/^mended, was /);
  });

  it('that mends itself, which nobody should write, is no endless search', () => {
    expect(logLines(momentOf({}, [row('a', 'stoke', { mends: 'a' })]), 'F', null)).toEqual([]);
  });

  it('says all that was read on a ring', () => {
    const json = { thickness: 'good', orangePeel: true, colour: 'grey', note: 'drips at the foot' };
    expect(entryWords('draw', json, 'F')).toBe('Draw ring out, good, orange peel, grey: drips at the foot');
  });

  it('that waits to be mended stands once', () => {
    const mend = {
      firing: 'f',
      at: 5,
      entry: { log: 'stoke', id: 'b', hole: 'left', mends: 'a', who: 'Mira' },
    };
    const { pending: _pending, ...known } = row('a', 'stoke', { hole: 'left' });
    expect(withWaiting([known], [mend], 'f')).toMatchObject([
      { id: 'a', undone: true },
      { id: 'b', undone: false, at: 5, who: 'Mira', pending: true },
    ]);
  });
});

describe.skipIf(!hasChromium())('in a browser (needs Chromium)', () => {
  const { collector, visit } = pageInBrowser();

  it.each([
    ['salting', 'salt-advice', 16, 'Salting page'],
    ['stoking', 'stoke-advice', 13, 'Stoking page'],
  ])(
    'the %s page is one touch away, fits a phone and can be hit with a glove',
    async (room, id, hours, link) => {
      const fake = await collector(hours);
      const page = await visit(fake);
      await page.getByRole('link', { name: link }).tap();
      await page.getByTestId(id).waitFor(PATIENCE);
      expect(new URL(page.url()).hash).toBe(`#/${room}`);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(390);
      const small = await page.evaluate(() =>
        [...document.querySelectorAll('button, a, input')]
          .map((target) => ({ words: target.textContent, box: target.getBoundingClientRect() }))
          .filter(({ box }) => box.width < 48 || box.height < 48)
          .map(({ words }) => words),
      );
      expect(small).toEqual([]);
      await page.getByRole('button', { name: 'Stoke, left hole' }).tap();
      await expect.poll(() => entries(fake, 'stoke'), PATIENCE).toHaveLength(1);
    },
  );

  it.each(['salting', 'stoking'])(
    'the %s page of a closed kiln stands in order and offers nothing',
    async (room) => {
      const fake = await collector(18.5);
      const page = await visit(fake, { width: 1280, height: 800 });
      await page.evaluate((hash) => {
        location.hash = hash;
      }, `#/${room}`);
      const boxes = await Promise.all(
        ['.tend-glance', '.tend-under'].map((part) => page.locator(part).boundingBox(PATIENCE)),
      );
      const [glance, under] = boxes;
      expect(glance && under && glance.y + glance.height <= under.y).toBe(true);
      expect(await page.locator('.tend button').count()).toBe(0);
    },
  );

  it('a ring is written down with one touch, and what else is seen on it takes its place', async () => {
    const fake = await collector(16);
    const page = await visit(fake);
    await page.evaluate(() => {
      location.hash = '#/salting';
    });
    await page.getByRole('button', { name: 'Draw ring out, good' }).tap();
    await expect.poll(() => entries(fake, 'draw'), PATIENCE).toHaveLength(1);
    await page.getByRole('button', { name: 'orange peel' }).tap();
    await expect.poll(() => entries(fake, 'draw'), PATIENCE).toHaveLength(2);
    const [first, second] = entries(fake, 'draw');
    expect(second).toMatchObject({ thickness: 'good', orangePeel: true, mends: first?.id, at: first?.at });
    // Taken back within ten seconds, the ring stands as it was read at first.
    await page.getByRole('button', { name: /^Take back: Draw ring out, good, orange peel/ }).tap();
    await expect.poll(() => entries(fake, 'draw'), PATIENCE).toHaveLength(3);
    const third = entries(fake, 'draw')[2];
    expect(third).toMatchObject({ thickness: 'good', mends: second?.id, at: first?.at });
    expect(third).not.toHaveProperty('orangePeel');
    expect(entries(fake, 'undo')).toEqual([]);
  });

  it('the time of an entry is mended in the log book, and the entry taken back by a held press', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    await page.getByRole('button', { name: 'Stoke, right hole' }).tap();
    await expect.poll(() => entries(fake, 'stoke'), PATIENCE).toHaveLength(1);
    await page.getByRole('listitem').filter({ hasText: 'on this phone' }).getByRole('button').tap();
    await page.getByRole('button', { name: '−10 min' }).tap();
    await page.getByRole('button', { name: /^Write down / }).tap();
    await expect.poll(() => entries(fake, 'stoke'), PATIENCE).toHaveLength(2);
    const [first, second] = entries(fake, 'stoke');
    expect(second).toMatchObject({ hole: 'right', mends: first?.id });
    expect(Date.parse(String(first?.at)) - Date.parse(String(second?.at))).toBe(10 * MINUTE);
    const mended = page.getByRole('listitem').filter({ hasText: /on this phone, .*mended, was / });
    await mended.getByRole('button').tap();
    const hold = mended.getByRole('button', { name: /^Take back/ });
    await hold.focus();
    await page.keyboard.down('Enter');
    await expect
      .poll(() => entries(fake, 'undo'), PATIENCE)
      .toEqual([expect.objectContaining({ id: second?.id })]);
    await page.keyboard.up('Enter');
  });
});
