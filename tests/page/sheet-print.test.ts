/** The firing sheet in a real browser, as it goes to the printer. */
import { describe, expect, it } from 'vitest';
import { emptyRow } from '../../dashboard/results/table.ts';
import type { LoggedEntry, RecordedFiring } from '../../protocol/firing-record.ts';
import { hasChromium } from '../support/browser.ts';
import { pdfPages } from '../support/pdf-pages.ts';
import { PATIENCE, pageInBrowser } from './in-browser.ts';
import { alertOf, LIT_AT, recordAt } from './story.ts';

const MINUTE = 60_000;
const ID = '2031-03-08-long-meadow';
const WORDY = 'The wind has turned, and the left box takes its wood better than the right one. '.repeat(6);

/** A firing in which everybody wrote and everything called. */
function busiest(): RecordedFiring {
  const record = recordAt(70);
  const note = (n: number): LoggedEntry => ({
    entry: 5000 + n,
    id: `busy-${n}`,
    at: LIT_AT + n * MINUTE,
    madeAt: LIT_AT + n * MINUTE,
    who: '',
    where: 'page',
    log: ['note', 'draw', 'atmosphere', 'cone-down'][n % 4] ?? 'note',
    json: { note: WORDY, seen: 'reducing', cone: `${1 + (n % 10)}`, probe: `place ${n % 17}` },
    undone: false,
  });
  const alerts = Array.from({ length: 60 }, (_, n) => ({
    alert: alertOf('uneven', 'look-soon', LIT_AT + n * 10 * MINUTE, WORDY),
    clearedAt: LIT_AT + n * 10 * MINUTE + MINUTE,
  }));
  const load = Array.from({ length: 12 }, (_, n) => ({
    place: `shelf ${n}`,
    shape: 'mug',
    clay: '',
    pieces: 20,
  }));
  return {
    ...record,
    firing: {
      ...record.firing,
      name: 'A long name of a long firing in the long meadow, the third of this wet spring',
    },
    firstPlan: { ...record.firstPlan, load },
    log: [...record.log, ...Array.from({ length: 400 }, (_, n) => note(n))],
    alerts: [...record.alerts, ...alerts],
    cones: record.probes.map(({ name }) => ({ probe: name, cone: '9.4' })),
  };
}

describe.skipIf(!hasChromium())('the sheet in the printer (needs Chromium)', () => {
  const { collector, visit } = pageInBrowser();
  const rows = Array.from({ length: 12 }, (_, n) => ({
    ...emptyRow(`shelf ${n}`, 'mug', ''),
    good: 15,
    seconds: 3,
    lost: 2,
    notes: WORDY.slice(0, 500),
  }));

  it.each([
    ['a4', 'c', 210 / 25.4],
    ['letter', 'f', 8.5],
  ] as const)(
    'is two pages of %s at most, however much was written, and nothing is beyond its edge',
    async (paper, unit, inches) => {
      const fake = await collector(70, { record: busiest(), results: rows });
      const page = await visit(fake, { width: 1280, height: 800 });
      await page.goto(`${fake.url}#/past/${ID}/sheet/${paper}/${unit}`);
      const sheet = page.locator('.sheet');
      await sheet.waitFor(PATIENCE);
      const pdf = await page.pdf({ preferCSSPageSize: true });
      expect(pdfPages(pdf)).toBe(2);
      const [, width] = /\/MediaBox\s*\[0 0 ([\d.]+)/.exec(pdf.toString('latin1')) ?? [];
      expect(Number(width)).toBeCloseTo(inches * 72, -1);
      await page.emulateMedia({ media: 'print' });
      expect(await page.locator('header.head').isVisible()).toBe(false);
      expect(await page.getByRole('button', { name: 'Print', exact: true }).isVisible()).toBe(false);
      expect(await sheet.evaluate((box) => box.scrollWidth <= box.clientWidth)).toBe(true);
      // What is told is told without colour, also when the page is a dark one.
      await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
      expect(
        await sheet.evaluate((box) => [getComputedStyle(box).color, getComputedStyle(box).backgroundColor]),
      ).toEqual(['rgb(0, 0, 0)', 'rgb(255, 255, 255)']);
    },
  );

  it('is reached from the past firing, prints at a press, and its drawing is XML', async () => {
    const fake = await collector(18.5, {
      past: [
        {
          ...recordAt(18.5),
          firing: { ...recordAt(18.5).firing, id: 'kept', running: false, endedAt: LIT_AT },
        },
      ],
    });
    const page = await visit(fake);
    await page.goto(`${fake.url}#/past/kept`);
    const zip = page.getByRole('link', { name: /^Take it away/ });
    await zip.waitFor(PATIENCE);
    expect(await zip.getAttribute('href')).toBe('api/firings/kept/spyhole-kept.zip');
    await page.getByRole('link', { name: 'Print the sheet' }).tap();
    const drawing = page.locator('svg.sheet-curve');
    await drawing.waitFor(PATIENCE);
    await page.evaluate(() => {
      window.print = () => document.body.setAttribute('data-printed', 'yes');
    });
    await page.getByRole('button', { name: 'Print', exact: true }).tap();
    await page.locator('body[data-printed]').waitFor(PATIENCE);
    const wrong = await drawing.evaluate(
      (svg) =>
        new DOMParser()
          .parseFromString(new XMLSerializer().serializeToString(svg), 'image/svg+xml')
          .querySelector('parsererror')?.textContent ?? null,
    );
    expect(wrong).toBeNull();
    // On a phone the whole paper is seen at first; read large it is moved within its frame, and the page is not.
    const frame = page.locator('.sheet-frame');
    const beyond = () => frame.evaluate((box) => box.scrollWidth - box.clientWidth);
    expect(await beyond()).toBeLessThanOrEqual(0);
    await page.getByRole('button', { name: 'Read it large' }).tap();
    await page.getByRole('button', { name: 'See it whole' }).waitFor(PATIENCE);
    expect(await beyond()).toBeGreaterThan(300);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(390);
  });
});
