/** What has called in a firing: read at ease, with the curve around it, and put aside for a while. */
import { describe, expect, it } from 'vitest';
import { hasChromium } from '../support/browser.ts';
import { curve, entries, PATIENCE, pageInBrowser, rows } from './in-browser.ts';
import { HOUR, MINUTE } from './pages.ts';
import { alertOf, LIT_AT, recordAt } from './story.ts';

const NOW = 16;
const evening = recordAt(NOW);
const at = (hours: number) => LIT_AT + hours * HOUR;
const record = {
  ...evening,
  alerts: [
    {
      alert: {
        ...alertOf('stall', 'look-soon', at(12.4), 'The kiln stands still. Rake the left box through.'),
        acknowledged: { at: at(12.5), who: 'Anna', where: 'phone 3f9a' },
      },
      clearedAt: at(12.75),
      clearedText: 'It climbs again: 40 °F an hour.',
    },
    {
      alert: alertOf('over-heat', 'come-now', at(15.8), 'Hotter than planned. Stoke less.'),
      clearedAt: null,
    },
  ],
};

describe.skipIf(!hasChromium())('what has called (needs Chromium)', () => {
  const { collector, visit } = pageInBrowser();

  it('is told newest first: what, from when to when, who has heard it where, and how it ended', async () => {
    const easing = {
      alert: { ...alertOf('uneven', 'come-now', at(11), 'Front is hotter than back.'), easing: true },
      clearedAt: null,
    };
    const fake = await collector(NOW, { record: { ...record, alerts: [easing, ...record.alerts] } });
    const page = await visit(fake);
    await page.evaluate(() => {
      location.hash = '#/alerts';
    });
    await page.getByRole('heading', { name: 'What has called' }).waitFor(PATIENCE);
    await page.locator('.history-list li').nth(2).waitFor(PATIENCE);
    const [newest, oldest, eased] = await page.locator('.history-list li').allTextContents();
    expect(newest).toMatch(/Come nowsince .*Hotter than planned\. Stoke less\..*Nobody has answered it\./);
    expect(oldest).toMatch(
      /Look soon.* to .*, 21.minutes.*The kiln stands still\..*It ended: It climbs again.*Heard by Anna, phone 3f9a at \d/,
    );
    // What eases calls nobody any more.
    expect(eased).toMatch(/^Looks oversince .*Front is hotter/);
    expect(await page.locator('.history-list .is-come-now').count()).toBe(1);
    expect(await curve(page).count()).toBe(0);
    await page.getByRole('button', { name: /^The curve around it: The kiln stands still/ }).tap();
    await curve(page).waitFor(PATIENCE);
    expect(await rows(page)).toBeGreaterThan(10);
  });

  it('puts what stands aside for half an hour, and lets it call again', async () => {
    const fake = await collector(NOW, { record });
    const page = await visit(fake);
    await page.getByLabel('Who is at the kiln').fill('Jorun');
    await page.evaluate(() => {
      location.hash = '#/alerts';
    });
    await page.getByRole('button', { name: /^Quiet for 30 min: Hotter/ }).tap(PATIENCE);
    await expect.poll(() => entries(fake, 'shelve'), PATIENCE).toHaveLength(1);
    const alert = record.alerts[1]?.alert ?? alertOf('stall', 'note', 0, '');
    expect(entries(fake, 'shelve')[0]).toMatchObject({ alert: alert.id, minutes: 30, who: 'Jorun' });
    const now = Math.round(fake.now());
    const shelved = { at: now, until: now + 30 * MINUTE, who: 'Jorun' };
    Object.assign(alert, { shelved });
    fake.tell({ type: 'alert', at: now, state: 'changed', alert });
    await page.getByText(/Quiet until .*, by Jorun\./).waitFor(PATIENCE);
    // A thumb that bounces at once does not undo it; a press does.
    await expect
      .poll(async () => {
        await page.getByRole('button', { name: /^Let it call again/ }).tap();
        return entries(fake, 'shelve').at(-1)?.minutes;
      }, PATIENCE)
      .toBe(0);
    // What is over is not put aside.
    expect(await page.getByRole('button', { name: /^Quiet for 30 min/ }).count()).toBe(0);
  });
});
