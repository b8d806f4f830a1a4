/**
 * A whole firing from plan to print, done by two people with a phone each, in a real browser. One phone is out of reach
 * for ten minutes in the middle. At the end nothing is lost and nothing is there twice.
 */
import { cpSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, BrowserContext, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readCsv } from '../../support/archive-file.ts';
import { builtPage, hasChromium, openBrowser } from '../../support/browser.ts';
import { pdfPages } from '../../support/pdf-pages.ts';
import { BY_THIS_WAY, type Way, wayTo } from './cable.ts';
import { type Evening, openEvening, PROBES } from './kiln.ts';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const START = Date.UTC(2031, 2, 8, 6);
const PATIENCE = { timeout: 20_000 };
/** Where the pictures go, for whoever wants to look: SPYHOLE_SHOTS=/some/folder. */
const SHOTS = process.env.SPYHOLE_SHOTS;

/** Days of firing go by in it, second by second; a busy machine takes its time. */
const LONG = { timeout: 300_000 };

describe.skipIf(!hasChromium())('a whole firing, two phones (needs Chromium)', LONG, () => {
  const home = mkdtempSync(join(tmpdir(), 'spyhole-evening-'));
  let evening: Evening;
  let browser: Browser;
  let woodpile: Way;
  let imke: Page;
  let jorun: Page;
  /** Every press that goes to the log book: `salt left`, by its phone. */
  const pressed: string[] = [];

  beforeAll(async () => {
    const pageFolder = await builtPage();
    browser = await openBrowser([BY_THIS_WAY]);
    evening = await openEvening({ dataFolder: join(home, 'firings'), pageFolder, startMs: START });
    woodpile = await wayTo(evening.url);
    imke = await phone(evening.url, 'Imke');
    jorun = await phone(woodpile.url, 'Jorun', true);
  }, 60_000);
  afterAll(async () => {
    await browser?.close();
    await woodpile?.close();
    await evening?.close();
    rmSync(home, { recursive: true, force: true });
  });

  /** `own`: its clock can be put forward by the test. */
  async function phone(url: string, who: string, own = false): Promise<Page> {
    const context: BrowserContext = await browser.newContext({
      viewport: { width: 390, height: 844 },
      locale: 'en-US',
      timezoneId: 'Europe/Berlin',
      hasTouch: true,
    });
    const page = await context.newPage();
    if (own) await page.clock.install();
    await page.goto(url);
    await page.getByTestId('figure').waitFor(PATIENCE);
    const name = page.getByLabel('Who is at the kiln');
    await name.fill(who);
    await name.blur();
    return page;
  }

  async function look(page: Page, name: string): Promise<void> {
    if (SHOTS === undefined) return;
    mkdirSync(SHOTS, { recursive: true });
    await page.screenshot({ path: join(SHOTS, `${name}.png`), fullPage: true });
  }

  async function press(page: Page, label: string | RegExp, written?: string): Promise<void> {
    await page.getByRole('button', { name: label }).first().tap(PATIENCE);
    if (written !== undefined) pressed.push(written);
    // A second press within 400 ms is taken for a bounce of the finger.
    await page.waitForTimeout(450);
  }

  /** Held down for longer than a second. */
  async function hold(page: Page, label: RegExp, written: string): Promise<void> {
    const button: Locator = page.getByRole('button', { name: label }).first();
    await button.scrollIntoViewIfNeeded();
    await button.focus();
    await page.keyboard.down('Enter');
    await page.waitForTimeout(1200);
    await page.keyboard.up('Enter');
    pressed.push(written);
  }

  const go = async (page: Page, hash: string) => {
    await page.evaluate((to) => {
      location.hash = to;
    }, hash);
  };

  const logRows = () =>
    readCsv(join(evening.folder, 'log.csv')).map(
      ({ at = '', who = '', where = '', log = '', json = '' }) => ({
        at: Date.parse(at),
        who,
        where,
        log,
        json: JSON.parse(json === '' ? '{}' : json) as Record<string, unknown>,
      }),
    );
  const written = () =>
    logRows()
      .filter(({ where }) => where.startsWith('phone'))
      .map(({ who, log, json }) => `${who} ${log}${json.hole === undefined ? '' : ` ${String(json.hole)}`}`);
  const allWritten = () => expect.poll(() => written().toSorted(), PATIENCE).toEqual(pressed.toSorted());
  const stageIs = (page: Page, words: RegExp) =>
    page.getByTestId('sentence').filter({ hasText: words }).waitFor(PATIENCE);

  it('is planned and loaded', async () => {
    await go(imke, '#/plan');
    await imke.getByLabel('Name of the firing').fill('Long Meadow, spring');
    await imke.getByLabel('Shape').fill('bowl');
    await imke.getByLabel('Clay').fill('buff stoneware');
    await press(imke, 'Add this kind');
    for (let n = 0; n < 3; n += 1) await press(imke, '6 more: bowl, buff stoneware');
    await press(imke, '1 more: draw rings');
    await imke.getByRole('group', { name: 'Cone pack here' }).getByRole('combobox').first().selectOption('9');
    await look(imke, '01-plan');
    await press(imke, 'Keep this plan', 'Imke plan');
    await imke.getByText('Kept. It stands in the log book.').waitFor(PATIENCE);
    await allWritten();
    // The other phone has it without being asked.
    await go(jorun, '#/plan');
    await expect
      .poll(() => jorun.getByLabel('Name of the firing').inputValue(), PATIENCE)
      .toBe('Long Meadow, spring');
    await jorun.getByText('19 pieces in all.').waitFor(PATIENCE);
  });

  it('has its board checked', async () => {
    await evening.leapTo(START + 10 * MINUTE);
    await go(imke, '#/check');
    const verdict = imke.getByTestId('verdict');
    await verdict.waitFor(PATIENCE);
    for (const probe of PROBES)
      await imke.getByTestId(`check-${probe}`).filter({ hasText: '°F' }).waitFor(PATIENCE);
    await look(imke, '02-check');
  });

  it('is lit, and stoked from both phones', async () => {
    await evening.leapToDeed('light-up');
    await go(imke, '#/');
    await look(imke, '03-before');
    await press(imke, 'Light-up', 'Imke light-up');
    await stageIs(imke, /candling/i);
    await allWritten();
    await evening.leapTo(evening.now() + 9 * HOUR);
    await go(jorun, '#/');
    await stageIs(jorun, /climbing|standing still/i);
    await press(imke, 'Stoke, left hole', 'Imke stoke left');
    await press(jorun, 'Stoke, right hole', 'Jorun stoke right');
    await press(imke, 'Damper half', 'Imke damper');
    await allWritten();
    await look(imke, '04-climbing');
    await go(imke, '#/stoking');
    await look(imke, '05-stoking');
    await go(imke, '#/');
  });

  it('goes on while one phone is out of reach for ten minutes; what was written there comes once, with its own time', async () => {
    woodpile.cut();
    const cutAt = evening.now();
    await jorun.clock.fastForward(4 * MINUTE);
    await evening.leapTo(cutAt + 4 * MINUTE);
    await stageIs(jorun, /no word from the kiln's computer/i);
    await press(jorun, 'Stoke, left hole', 'Jorun stoke left');
    await press(imke, 'Stoke, right hole', 'Imke stoke right');
    await look(jorun, '06-out-of-reach');
    await jorun.clock.fastForward(6 * MINUTE);
    await evening.leapTo(cutAt + 10 * MINUTE);
    await press(jorun, 'Stoke, right hole', 'Jorun stoke right');
    await jorun.getByText('2 entries wait here').first().waitFor(PATIENCE);
    woodpile.mend();
    await jorun.clock.fastForward(MINUTE);
    await allWritten();
    const [early, late] = logRows()
      .filter(({ who, log, at }) => who === 'Jorun' && log === 'stoke' && at > cutAt)
      .map(({ at }) => at - cutAt);
    expect(early).toBeGreaterThan(3.5 * MINUTE);
    expect(early).toBeLessThan(5.5 * MINUTE);
    expect(late).toBeGreaterThan(9.5 * MINUTE);
    expect(late).toBeLessThan(12 * MINUTE);
    // The phone has the stretch of the curve that it missed.
    await evening.leapTo(evening.now() + 2 * MINUTE);
    await stageIs(jorun, /climbing|standing still|falling/i);
  });

  it('is salted through both holes, its rings drawn and read', async () => {
    const { at } = await evening.leapToDeed('salt');
    await go(imke, '#/salting');
    await go(jorun, '#/salting');
    for (let n = 0; n < 6; n += 1) {
      await press(imke, /^Salt.*left hole/, 'Imke salt left');
      await press(jorun, /^Salt.*right hole/, 'Jorun salt right');
      await evening.leapTo(Math.max(evening.now(), at) + 4 * MINUTE);
    }
    await press(jorun, 'Draw ring out, thin', 'Jorun draw');
    await evening.leapTo(evening.now() + 15 * MINUTE);
    await press(imke, 'Draw ring out, good', 'Imke draw');
    await allWritten();
    await look(imke, '07-salting');
    await hold(imke, /Salt is done/, 'Imke end-salt');
    await allWritten();
  });

  it('is closed, cools for days, and is opened', async () => {
    await evening.leapToDeed('clam-up');
    await go(imke, '#/');
    await hold(imke, /Clam-up/, 'Imke clam-up');
    await allWritten();
    // The heat goes on rising for some minutes.
    await evening.leapTo(evening.now() + 30 * MINUTE);
    await stageIs(imke, /cooling/i);
    await look(imke, '08-cooling');
    await evening.leapToDeed('unbricked', 6 * HOUR);
    await hold(imke, /^Unbricked/, 'Imke unbricked');
    await stageIs(imke, /open/i);
    await allWritten();
    await look(imke, '09-open');
  });

  it('has its results counted by place', async () => {
    await go(imke, `#/past/${encodeURIComponent(evening.id)}/results`);
    const row = imke.getByRole('group', { name: 'bowl, buff stoneware' });
    await row.waitFor(PATIENCE);
    await imke.getByRole('button', { name: '1 more: lost' }).first().tap(PATIENCE);
    await imke.getByRole('button', { name: /^The other 18 are good/ }).tap(PATIENCE);
    await imke.getByRole('button', { name: 'cracked' }).tap(PATIENCE);
    await look(imke, '10-results');
    await press(imke, 'Keep the results');
    await imke.getByText('Kept.').waitFor(PATIENCE);
    const [kept] = readCsv(join(evening.folder, 'results.csv'));
    expect(kept).toMatchObject({ shape: 'bowl', good: '18', lost: '1' });
  });

  it('is laid beside a past firing, and goes to the printer on two pages at most', async () => {
    // Another firing just like it.
    const past = '2031-02-01-winter';
    cpSync(evening.folder, join(home, 'firings', past), { recursive: true });
    await go(imke, '#/past');
    await imke
      .getByRole('link', { name: /Long Meadow/ })
      .first()
      .waitFor(PATIENCE);
    await go(imke, `#/compare/${encodeURIComponent(evening.id)}/${encodeURIComponent(past)}`);
    await imke.getByRole('heading', { level: 2 }).first().waitFor(PATIENCE);
    await imke.locator('.uplot').nth(1).waitFor(PATIENCE);
    await look(imke, '11-compare');
    await go(imke, `#/past/${encodeURIComponent(evening.id)}/sheet`);
    await imke.locator('.sheet').waitFor(PATIENCE);
    await imke.locator('.sheet').getByText('front low').first().waitFor(PATIENCE);
    await look(imke, '12-sheet');
    expect(pdfPages(await imke.pdf({ preferCSSPageSize: true }))).toBeLessThanOrEqual(2);
  });

  it('is kept whole: every reading once, every press once, in the order of time', async () => {
    await evening.leapTo(evening.now() + MINUTE);
    const all = [...evening.sent];
    const rows = () => readCsv(join(evening.folder, 'readings.csv'));
    await expect.poll(() => rows().length, PATIENCE).toBe(all.length * PROBES.length);
    const readings = rows();
    const keys = readings.map(({ board, boot, seq, probe }) => `${board} ${boot} ${seq} ${probe}`);
    expect(new Set(keys).size).toBe(keys.length);
    for (const probe of PROBES) {
      const seqs = new Set(readings.flatMap((row) => (row.probe === probe ? [Number(row.seq)] : [])));
      expect(all.filter((seq) => !seqs.has(seq))).toEqual([]);
    }
    expect(readings.filter(({ late }) => late === '1')).toEqual([]);
    const times = readings.map(({ time }) => Date.parse(time ?? ''));
    expect(times.every((at, i) => i === 0 || at >= (times[i - 1] ?? 0))).toBe(true);
    expect(written().toSorted()).toEqual(pressed.toSorted());
    const stages = new Set(readings.map(({ stage }) => stage));
    for (const stage of ['before', 'candling', 'climbing', 'salting', 'cooling'])
      expect(stages).toContain(stage);
  });
});
