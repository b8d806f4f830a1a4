/** How one is called, as the page says it: ways, their trial, and the phone that says it is there. */
import { describe, expect, it } from 'vitest';
import type { WaysMessage } from '../../protocol/ways.ts';
import { hasChromium } from '../support/browser.ts';
import { PATIENCE, pageInBrowser } from './in-browser.ts';

const WAYS: WaysMessage = {
  type: 'ways',
  ways: [
    { way: 'lamp', armed: true, why: 'The board has a lamp.', last: null },
    { way: 'mail', armed: false, why: 'No mail server is named.', last: null },
  ],
  sends: [],
  phones: [{ id: 'p1', name: 'Woodshed phone', armed: ['sound'], silent: true }],
  pushKey: null,
  secure: null,
};

describe.skipIf(!hasChromium())('how one is called (needs Chromium)', () => {
  const { collector, visit } = pageInBrowser();

  it('stands on the page, with why a way is not armed, and a way can be tried', async () => {
    const fake = await collector(13, { ways: WAYS });
    const page = await visit(fake);
    await page.getByText('If you lock this phone it will not wake you.').waitFor(PATIENCE);
    await page.getByText('not armed. No mail server is named.').waitFor(PATIENCE);
    await page.getByText('Woodshed phone: not heard any more').waitFor(PATIENCE);
    expect(await page.getByRole('button', { name: /E-mail/ }).count()).toBe(0);
    await page.getByRole('button', { name: /lamp and buzzer: Try it/ }).tap();
    await page.getByText('Reached. It was the lamp.').waitFor(PATIENCE);
  });

  it('counts on this phone from the first sound on, by its name, and no more once it is mute', async () => {
    const fake = await collector(13);
    const page = await visit(fake, undefined, async (context) => {
      await context.clock.install();
    });
    const phones = () => fake.heard.flatMap((message) => (message.type === 'phone' ? [message] : []));
    await page.clock.runFor(30_000);
    expect(phones()).toEqual([]);
    await page.getByLabel('Who is at the kiln').fill('Anna');
    await page.getByRole('button', { name: 'Let it sound sound is off' }).tap();
    await expect.poll(() => phones().at(-1), PATIENCE).toMatchObject({ name: 'Anna' });
    expect(phones().at(-1)?.armed).toContain('sound');
    await page.clock.runFor(21_000);
    await expect.poll(() => phones().length, PATIENCE).toBeGreaterThanOrEqual(3);
    await page.getByRole('button', { name: 'Keep it quiet' }).tap();
    await page.clock.runFor(11_000);
    await expect.poll(() => phones().at(-1)?.armed, PATIENCE).toEqual([]);
    expect(new Set(phones().map(({ id }) => id)).size).toBe(1);
  });
});
