/** The page at work: live readings, cuts, gaps, entries, alerts, choices, replay, keys. */
import { describe, expect, it } from 'vitest';
import { hasChromium } from '../support/browser.ts';
import { answer, curve, entries, PATIENCE, pageInBrowser, rows, says, tones } from './in-browser.ts';
import { HOUR, MINUTE, readingAt } from './pages.ts';
import { alertOf, recordAt, STALL_TEXT } from './story.ts';

describe.skipIf(!hasChromium())('the page (needs Chromium)', () => {
  const { collector, visit } = pageInBrowser();

  it('shows a live reading as it comes, and how old it is', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    fake.tell(
      readingAt(Math.round(fake.now()), 0, { kiln: { smoothC: 1204.4, climbCPerH: 34.5, climbSdCPerH: 4 } }),
    );
    await page.getByTestId('kiln-temp').filter({ hasText: '2200' }).waitFor(PATIENCE);
    await says(page, 'Climbing 62\u00a0°F an hour.');
    const age = async () =>
      Number(/(\d+)/.exec((await page.getByTestId('age').textContent()) ?? '')?.[1] ?? 0);
    await expect.poll(age, PATIENCE).toBeGreaterThan(0);
    const first = await age();
    await expect.poll(age, PATIENCE).toBeGreaterThan(first);
    expect(await page.getByTestId('probe-front').textContent()).toContain('cone 05.7');
  });

  it('says when the board falls silent, and strikes the old figure', async () => {
    const fake = await collector(13, { rate: 60, source: 'demo' });
    const page = await visit(fake);
    await page.getByText('This is a demo kiln, running 60 times as fast as a real one.').waitFor(PATIENCE);
    fake.tell(readingAt(Math.round(fake.now()), 0));
    await says(page, 'No word from the board for');
    await page.getByTestId('age').filter({ hasText: 'OLD' }).waitFor(PATIENCE);
    const struck = await page
      .getByTestId('kiln-temp')
      .evaluate((figure) => getComputedStyle(figure).textDecorationLine);
    expect(struck).toBe('line-through');
  });

  it('says when the collector is not heard any more, and again that it is', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    fake.tell(readingAt(Math.round(fake.now()), 0));
    fake.mute = true;
    await says(page, /No word from the kiln's computer for \d+\u00a0seconds/);
    fake.mute = false;
    await says(page, 'Climbing');
  });

  it('comes back by itself after a cut, asks only for what it missed, and keeps its curve', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    fake.tell(readingAt(Math.round(fake.now()), 0));
    await page.getByTestId('kiln-temp').filter({ hasText: '1832' }).waitFor(PATIENCE);
    await expect.poll(() => rows(page), PATIENCE).toBeGreaterThan(700);
    const before = await rows(page);
    fake.hangUp();
    await expect.poll(() => fake.pages(), PATIENCE).toBe(0);
    expect(await rows(page)).toBe(before);
    const missed = readingAt(Math.round(fake.now()), 0, {
      kiln: { smoothC: 1010, climbCPerH: 60, climbSdCPerH: 4 },
    });
    fake.lose(missed);
    await page.getByTestId('kiln-temp').filter({ hasText: '1850' }).waitFor(PATIENCE);
    expect(await rows(page)).toBe(before + 1);
    expect(fake.heard.filter(({ type }) => type === 'greet')).toEqual([
      expect.objectContaining({ run: null, n: 0 }),
      expect.objectContaining({ run: 'run-1', n: 1 }),
    ]);
  });

  it('asks for what was lost on the way when it sees a gap', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    fake.lose(readingAt(Math.round(fake.now()), 0));
    fake.tell(
      readingAt(Math.round(fake.now()) + 1000, 0, {
        kiln: { smoothC: 1010, climbCPerH: 60, climbSdCPerH: 4 },
      }),
    );
    await page.getByTestId('kiln-temp').filter({ hasText: '1850' }).waitFor(PATIENCE);
    expect(fake.heard).toContainEqual({ type: 'since', n: 0 });
  });

  it('of another version says that it is old', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    fake.hangUp(4001);
    await says(page, 'This page is old: load it again.');
    await page.getByRole('button', { name: 'Load again' }).waitFor(PATIENCE);
  });

  it('writes a stoke down with one touch, and takes it back', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    await page.getByRole('button', { name: 'Stoke, left hole' }).tap();
    await page.getByRole('button', { name: /Take back: Stoked left/ }).waitFor(PATIENCE);
    await expect.poll(() => entries(fake, 'stoke'), PATIENCE).toHaveLength(1);
    const [stoke] = entries(fake, 'stoke');
    expect(stoke).toMatchObject({ hole: 'left', at: expect.stringMatching(/Z$/) });
    await page.getByRole('button', { name: /Take back: Stoked left/ }).tap();
    await expect
      .poll(() => entries(fake, 'undo'), PATIENCE)
      .toEqual([expect.objectContaining({ id: stoke?.id })]);
    await page.getByRole('listitem').filter({ hasText: 'taken back' }).first().waitFor(PATIENCE);
  });

  it('counts salt at once, in and to go', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    await page.getByRole('button', { name: /Salt, right hole/ }).tap();
    await page.getByText('0.2\u00a0lb', { exact: true }).waitFor(PATIENCE);
    await expect
      .poll(() => entries(fake, 'salt'), PATIENCE)
      .toEqual([expect.objectContaining({ hole: 'right', g: 73 })]);
  });

  it('keeps what is pressed while the collector is away, over a closed page, and hands it over with its own time', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    fake.open = false;
    fake.hangUp();
    await expect.poll(() => fake.pages(), PATIENCE).toBe(0);
    const pressedAt = fake.now();
    await page.getByRole('button', { name: 'Stoke, right hole' }).tap();
    await page.getByText("One entry waits here until the kiln's computer is heard.").waitFor(PATIENCE);
    expect(entries(fake, 'stoke')).toEqual([]);
    fake.open = true;
    await page.reload();
    await expect.poll(() => entries(fake, 'stoke'), PATIENCE).toHaveLength(1);
    const at = Date.parse(String(entries(fake, 'stoke')[0]?.at));
    expect(Math.abs(at - pressedAt)).toBeLessThan(10_000);
  });

  it('says why an entry was not taken', async () => {
    const fake = await collector(13);
    fake.refuse = 'The disk is full: make room and press it again.';
    const page = await visit(fake);
    await page.getByRole('button', { name: 'Stoke, left hole' }).tap();
    await page.getByRole('alert').filter({ hasText: 'The disk is full' }).waitFor(PATIENCE);
  });

  it('wants the big steps held, by finger or by key, and lets a brush past be', async () => {
    const fake = await collector(17.5);
    const page = await visit(fake);
    const clamUp = page.getByRole('button', { name: /Clam-up/ });
    await clamUp.click();
    await clamUp.focus();
    await page.keyboard.down('Enter');
    await expect.poll(() => entries(fake, 'clam-up'), PATIENCE).toHaveLength(1);
    await page.keyboard.up('Enter');
    const endSalt = page.getByRole('button', { name: /^Salt is done hold/ });
    await endSalt.click({ delay: 1500 });
    await expect.poll(() => entries(fake, 'end-salt'), PATIENCE).toHaveLength(1);
    expect(entries(fake, 'clam-up')).toHaveLength(1);
    // A screen reader or a switch presses without a finger or a key: twice is sure.
    const press = () =>
      page.getByRole('button', { name: /^Unbricked/ }).evaluate((button: HTMLElement) => button.click());
    await press();
    await page.getByRole('button', { name: 'Unbricked Press once more to be sure' }).waitFor(PATIENCE);
    expect(entries(fake, 'unbricked')).toEqual([]);
    await press();
    await expect.poll(() => entries(fake, 'unbricked'), PATIENCE).toHaveLength(1);
  });

  it('shows an alert in words, sounds it once it may, and is answered', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    const alert = alertOf('stall', 'look-soon', Math.round(fake.now()) - 20 * MINUTE, STALL_TEXT);
    fake.tell({ type: 'alert', at: Math.round(fake.now()), state: 'raised', alert });
    await says(page, 'Standing still for 20 minutes.');
    await says(page, 'Look soon');
    expect(await tones(page)).toBe(0);
    await page.getByRole('button', { name: 'Let it sound sound is off' }).tap();
    await expect.poll(() => tones(page), PATIENCE).toBe(2);
    await page.getByText('sound is off').waitFor({ ...PATIENCE, state: 'detached' });
    await answer(fake, page);
    expect(entries(fake, 'ack')).toEqual([expect.objectContaining({ alert: alert.id })]);
    fake.tell({ type: 'alert', at: Math.round(fake.now()), state: 'cleared', alert });
    await expect.poll(() => page.getByTestId('sentence').textContent(), PATIENCE).not.toContain('Look soon');
  });

  it('shows degrees as chosen and keeps the choice, and the look as well', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    fake.tell(readingAt(Math.round(fake.now()), 0));
    await page.getByTestId('kiln-temp').filter({ hasText: '1832' }).waitFor(PATIENCE);
    await page.getByRole('button', { name: '°C and kilos' }).tap();
    await page.getByTestId('kiln-temp').filter({ hasText: '1000' }).waitFor(PATIENCE);
    const ground = () => page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
    const day = await ground();
    await page.getByRole('button', { name: 'Night', exact: true }).tap();
    await expect.poll(ground, PATIENCE).not.toBe(day);
    const night = await ground();
    await page.reload();
    await page.getByRole('button', { name: '°C and kilos', pressed: true }).waitFor(PATIENCE);
    expect(await ground()).toBe(night);
  });

  it('plays a past firing: the same parts, at any moment of it', async () => {
    const fake = await collector(13, {
      past: [
        { ...recordAt(18.5), firing: { ...recordAt(1).firing, id: 'old one', name: 'Old', running: false } },
      ],
    });
    const page = await visit(fake);
    await page.getByRole('link', { name: 'Past firings' }).tap();
    await page.getByRole('link', { name: /^Old.*Watch it again/ }).tap();
    await page.getByText('This is a past firing: Old.').waitFor(PATIENCE);
    const moment = page.getByLabel('Moment of the firing');
    const from = Number(await moment.getAttribute('min'));
    await moment.fill(String(from + 16 * HOUR));
    await page.getByText('salting', { exact: true }).waitFor(PATIENCE);
    const scrubbed = await rows(page);
    await page.getByRole('button', { name: 'Play' }).tap();
    await expect.poll(() => rows(page), PATIENCE).toBeGreaterThan(scrubbed);
    expect(await page.getByRole('button', { name: /Stoke, left/ }).count()).toBe(0);
  });

  it('is reached by key alone, in an order that makes sense, and shows where one is', async () => {
    const fake = await collector(13);
    const page = await visit(fake, { width: 1280, height: 800 });
    const reached: string[] = [];
    for (let i = 0; i < 100; i += 1) {
      await page.keyboard.press('Tab');
      const [name, outlined] = await page.evaluate(() => {
        const here = document.activeElement;
        const shown = here ? Number.parseFloat(getComputedStyle(here).outlineWidth) > 0 : false;
        return [here?.getAttribute('aria-label') ?? here?.textContent ?? '', shown];
      });
      if (reached.includes(String(name))) break;
      reached.push(String(name));
      expect(outlined, `${name} shows that it is reached`).toBe(true);
    }
    const inOrder = [
      'Let it soundsound is off',
      'Now',
      'Stoke, left hole',
      'Show the whole firing',
      'Damper shut',
      '°F and pounds',
    ];
    expect(reached.filter((name) => inOrder.includes(name))).toEqual(inOrder);
  });

  it('reads out a moment of the curve by the arrow keys', async () => {
    const fake = await collector(13);
    const page = await visit(fake, { width: 1280, height: 800 });
    const drawn = curve(page);
    await page.locator('.curve-host .u-over').waitFor(PATIENCE);
    const before = await drawn.getAttribute('aria-valuetext');
    await drawn.focus();
    await expect
      .poll(async () => {
        await page.keyboard.press('ArrowLeft');
        return drawn.getAttribute('aria-valuetext');
      }, PATIENCE)
      .not.toBe(before);
    expect(await drawn.getAttribute('aria-valuetext')).toMatch(/kiln \d+\u00a0°F, front \d+/);
  });

  it('reads the newest again a while after a finger has left the curve', async () => {
    const fake = await collector(13);
    const page = await visit(fake, { width: 390, height: 844 }, async (context) => {
      await context.clock.install();
    });
    const touched = page.locator('.curve-reading p');
    await page.locator('.curve-host .u-over').waitFor(PATIENCE);
    await touched.filter({ hasText: /^newest, / }).waitFor(PATIENCE);
    await page.locator('.curve-host .u-over').tap({ position: { x: 80, y: 40 } });
    await expect.poll(() => touched.textContent(), PATIENCE).not.toMatch(/newest/);
    await page.clock.fastForward(21_000);
    await touched.filter({ hasText: /^newest, / }).waitFor(PATIENCE);
  });
});
