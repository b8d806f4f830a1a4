import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planChanges } from '../../dashboard/plan/changes.ts';
import {
  kindsOf,
  piecesAt,
  ringsAt,
  withoutPlace,
  withPieces,
  withPlaceRenamed,
  withRings,
} from '../../dashboard/plan/load.ts';
import { insideFigure, type Quantity, shownFigure } from '../../dashboard/plan/quantity.ts';
import { defaultPlan, planSchema } from '../../protocol/plan.ts';
import { presentPlan } from '../../protocol/plan-in-log.ts';
import { climbTargetAt } from '../../protocol/plan-limits.ts';
import { hasChromium } from '../support/browser.ts';
import { entries, PATIENCE, pageInBrowser } from './in-browser.ts';
import { recordAt } from './story.ts';

describe('a figure of the plan as one types it', () => {
  // Pound and ounce: NIST Handbook 44; °F by its definition.
  it.each([
    [1204.4, 'heat', 'F', '2200'],
    [204.4, 'heat', 'F', '400'],
    [28, 'rate', 'F', '50'],
    [22.7, 'mass', 'F', '50'],
    [73, 'charge', 'F', '2.6'],
    [1204.4, 'heat', 'C', '1204'],
    [90, 'minutes', 'F', '90'],
    [16, 'length', 'F', '16'],
    [16, 'length', 'C', '41'],
  ] as const)('%d as %s in °%s is %s', (value, quantity, unit, shown) => {
    expect(shownFigure(value, quantity, unit)).toBe(shown);
  });

  it.each(['', 'hot', '12 00', '1e3', '--4', '12.3.4'])('takes %j for no number', (typed) => {
    expect(insideFigure(typed, 'heat', 'F')).toBeNull();
  });

  it('takes a comma for a point, and both minus signs', () => {
    expect(insideFigure('2,5', 'mass', 'C')).toBe(2.5);
    expect(insideFigure('\u22124', 'heat', 'C')).toBe(-4);
  });

  it('goes out and back without drifting: what is shown, typed again, shows the same', () => {
    const quantity = fc.constantFrom<Quantity>('heat', 'rate', 'mass', 'charge', 'minutes', 'length');
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1700, noNaN: true }),
        quantity,
        fc.constantFrom('F' as const, 'C' as const),
        (value, what, unit) => {
          const shown = shownFigure(value, what, unit);
          const again = insideFigure(shown, what, unit);
          expect(again === null ? null : shownFigure(again, what, unit)).toBe(shown);
        },
      ),
    );
  });
});

describe('the load', () => {
  const mug = { shape: 'mug', clay: 'brown' };
  const bowl = { shape: 'bowl', clay: '' };

  it('is counted by place and kind, and never below none', () => {
    let load = withPieces([], 'front low', mug, 6);
    load = withPieces(load, 'front low', mug, 1);
    load = withPieces(load, 'back high', bowl, 6);
    load = withPieces(load, 'front low', mug, -20);
    load = withPieces(load, 'front low', mug, 6);
    expect(piecesAt(load, 'front low', mug)).toBe(6);
    expect(piecesAt(load, null)).toBe(12);
    expect(kindsOf(load)).toEqual([mug, bowl]);
  });

  it('keeps what stands at a place under its new name, and drops it with the place', () => {
    const plan = planSchema.parse({
      places: ['low', 'high'],
      load: [{ place: 'low', ...mug, pieces: 9 }],
      conePacks: [{ place: 'low', guide: '9', firing: '10', guard: '11' }],
      drawRings: withRings([], 'low', 3),
    });
    const renamed = withPlaceRenamed(plan, 'low', 'by the bag wall');
    expect(piecesAt(renamed.load, 'by the bag wall')).toBe(9);
    expect(ringsAt(renamed.drawRings, 'by the bag wall')).toBe(3);
    expect(renamed.conePacks[0]?.place).toBe('by the bag wall');
    const without = withoutPlace(renamed, 'by the bag wall');
    expect([without.places, without.load, without.conePacks, without.drawRings]).toEqual([
      ['high'],
      [],
      [],
      [],
    ]);
  });
});

describe('changes of a plan', () => {
  it('are told with both figures, in the units of the page', () => {
    const before = defaultPlan();
    const after = { ...before, saltingStartC: 1210, saltKg: 20, guide: 'top', later: 1 };
    expect(planChanges(before, after, 'F')).toEqual([
      'Salting may start at: 2210\u00a0°F, before 2200\u00a0°F',
      'Salt to use: 44.1\u00a0lb, before 50\u00a0lb',
      'The probe that speaks for the kiln: top, before none',
      'later changed',
    ]);
    expect(planChanges(before, { ...before }, 'F')).toEqual([]);
  });

  it('stand until they are taken back', () => {
    const first = defaultPlan();
    const row = (topC: number, undone: boolean) => ({
      log: 'plan',
      json: { ...first, topC, log: 'plan', id: 'x', at: '2031-03-08T05:00:00.000Z' },
      undone,
    });
    expect(presentPlan(first, [row(1250, false), row(1260, true)])).toEqual({ ...first, topC: 1250 });
    expect(presentPlan(first, [row(1250, true)])).toEqual(first);
  });
});

it('aims at the first target that a heat lies below, and at none once the kiln is held or cools', () => {
  const plan = defaultPlan();
  expect(climbTargetAt(plan, 'candling', 100)).toBe(28);
  expect(climbTargetAt(plan, 'climbing', 427)).toBe(69);
  expect(climbTargetAt(plan, 'climbing', 1290)).toBeNull();
  expect(climbTargetAt(plan, 'cooling', 500)).toBeNull();
});

describe.skipIf(!hasChromium())('the plan on the page (needs Chromium)', () => {
  const { collector, visit } = pageInBrowser();

  it('is changed, kept in the log book with what changed, and taken back', async () => {
    const fake = await collector(10);
    const page = await visit(fake);
    await page.getByRole('link', { name: 'Plan and load' }).click();
    const keep = page.getByRole('button', { name: 'Keep this plan' });
    await keep.waitFor(PATIENCE);
    expect(await keep.isDisabled()).toBe(true);
    await page.getByLabel('Shape').fill('mug');
    await page.getByRole('button', { name: 'Add this kind' }).tap();
    await page.getByRole('button', { name: '6 more: mug' }).tap();
    const start = page.getByLabel('Salting may start at');
    await start.fill('hot');
    expect(await keep.isDisabled()).toBe(true);
    await page.getByText('This wants a number.').waitFor(PATIENCE);
    await start.fill('2210');
    await keep.tap();
    await expect.poll(() => entries(fake, 'plan'), PATIENCE).toHaveLength(1);
    expect(entries(fake, 'plan')[0]).toMatchObject({
      saltingStartC: expect.closeTo(1210, 6),
      load: [{ place: 'front low', shape: 'mug', clay: '', pieces: 7 }],
    });
    await page.getByRole('link', { name: 'Now' }).click();
    await page.getByText(/Salting may start at: 2210/).waitFor(PATIENCE);
    await page.getByRole('button', { name: /Take back/ }).tap();
    await page.getByRole('link', { name: 'Plan and load' }).click();
    await expect.poll(() => page.getByLabel('Salting may start at').inputValue(), PATIENCE).toBe('2200');
  });

  it('says what wood is stacked; a row of figures can be added and taken away, whatever was typed in it', async () => {
    const fake = await collector(10);
    const page = await visit(fake);
    await page.getByRole('link', { name: 'Plan and load' }).click();
    const keep = page.getByRole('button', { name: 'Keep this plan' });
    const wood = page.getByRole('region', { name: 'Wood' });
    await wood.getByLabel('What it is').selectOption('white pine');
    await wood.getByLabel('Water in it').fill('18');
    await wood.getByLabel('Stacked at light-up').fill('4,5');
    const limits = page.getByRole('group', { name: 'Climb limits' });
    await limits.getByRole('button', { name: 'Add a row' }).tap();
    await limits.getByLabel('no faster than').last().fill('fast');
    expect(await keep.isDisabled()).toBe(true);
    await limits.getByRole('button', { name: 'Take this row away' }).last().tap();
    await keep.tap();
    await expect.poll(() => entries(fake, 'plan'), PATIENCE).toHaveLength(1);
    const { climbLimits } = defaultPlan();
    expect(entries(fake, 'plan')[0]).toMatchObject({
      climbLimits,
      wood: {
        species: 'white-pine',
        moisture: expect.closeTo(0.18, 9),
        stickIn: 16,
        stack: { amount: 4.5, unit: 'face-cords' },
        stokeKg: null,
      },
    });
  });

  it('takes the load of a past firing over', async () => {
    const old = recordAt(18.5);
    const load = [{ place: 'back high', shape: 'jar', clay: 'grey', pieces: 42 }];
    const fake = await collector(10, {
      past: [
        {
          ...old,
          firing: { ...old.firing, id: 'old one', name: 'Old', running: false },
          firstPlan: { ...old.firstPlan, topC: 1111, load },
        },
      ],
    });
    const page = await visit(fake);
    await page.getByRole('link', { name: 'Plan and load' }).click();
    await page.getByRole('button', { name: 'Its load' }).click();
    await page.getByText('Taken over from Old. Look it through, then keep it.').waitFor(PATIENCE);
    await page.getByRole('button', { name: 'Keep this plan' }).tap();
    await expect.poll(() => entries(fake, 'plan'), PATIENCE).toHaveLength(1);
    expect(entries(fake, 'plan')[0]).toMatchObject({ load, topC: old.firstPlan.topC });
  });
});
