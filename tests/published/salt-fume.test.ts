/**
 * The hydrogen chloride that salt can make at most, against molar masses: NaCl 58.44, HCl 36.46 g/mol (IUPAC standard atomic
 * weights 2021, Pure Appl. Chem. 94 (2022) 573: Na 22.989 769 28, Cl 35.45, H 1.008; values from memory).
 */
import { expect, it } from 'vitest';
import { HCL_PER_SALT, saltCount } from '../../collector/core/salting-facts.ts';
import { CAUTIONS } from '../../dashboard/words.ts';
import { defaultPlan } from '../../protocol/plan.ts';

it('is one HCl for each NaCl: 0.624 g a gram', () => {
  expect(HCL_PER_SALT).toBeCloseTo(36.46 / 58.44, 4);
  expect(HCL_PER_SALT.toFixed(3)).toBe('0.624');
});

it('of the 22.7 kg of a whole salting is 14.2 kg', () => {
  const { hclAtMostKg } = saltCount([{ at: 0, hole: 'left', g: 22_700 }], [], defaultPlan(), 0);
  expect(hclAtMostKg).toBeCloseTo((22.7 / 58.44) * 36.46, 2);
});

it('is what the cautions say', () => {
  expect(CAUTIONS.salting.join(' ')).toContain(HCL_PER_SALT.toFixed(2));
});
