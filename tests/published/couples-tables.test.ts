/** The couples against printed tables: NIST Monograph 175, the same values as IEC 60584-1. */
import { describe, expect, test } from 'vitest';
import { convert } from '../../collector/core/couple/convert.ts';
import { tempFromEmf } from '../../collector/core/couple/emf-to-temp.ts';
import { coupleRangeC, emfMv, emfSlopeMvPerC } from '../../collector/core/couple/reference-function.ts';
import { COUPLE_TYPES, type CoupleType } from '../../protocol/probes.ts';
import { TABLE_VALUES } from './couples-table-values.ts';

const CASES = COUPLE_TYPES.flatMap((couple) =>
  (TABLE_VALUES[couple] ?? []).map(([tempC, printedMv]) => ({ couple, tempC, printedMv })),
);

/** Half of the last printed digit, and what is lost in writing it in binary. */
const ROUNDING_MV = 0.0005 + 1e-12;

describe('NIST Monograph 175 tables', () => {
  test('113 values are checked, of every couple', () => {
    expect(CASES).toHaveLength(113);
    expect(new Set(CASES.map(({ couple }) => couple))).toEqual(new Set(COUPLE_TYPES));
  });

  test.each(CASES)('$couple at $tempC °C is $printedMv mV', ({ couple, tempC, printedMv }) => {
    expect(Math.abs(emfMv(couple, tempC) - printedMv)).toBeLessThanOrEqual(ROUNDING_MV);
  });

  test.each(CASES.filter(({ couple, tempC }) => couple !== 'B' || tempC >= 250))(
    '$couple with $printedMv mV is $tempC °C',
    ({ couple, tempC, printedMv }) => {
      // At the very top of a range the printed value may be rounded up beyond it.
      const topMv = emfMv(couple, coupleRangeC(couple).highC);
      const read = tempFromEmf(couple, Math.min(printedMv, topMv));
      const allowedC = (ROUNDING_MV / emfSlopeMvPerC(couple, tempC)) * 1.01;
      expect(read).toBeTypeOf('number');
      expect(Math.abs(Number(read) - tempC)).toBeLessThanOrEqual(allowedC);
    },
  );
});

describe('cold junction compensation, by the tables', () => {
  /** EMF at 25 °C as printed in the same tables, in mV; from memory. */
  const AT_25_C: Record<CoupleType, number> = {
    B: -0.002,
    E: 1.495,
    J: 1.277,
    K: 1.0,
    N: 0.659,
    R: 0.141,
    S: 0.143,
    T: 0.992,
  };

  test.each(CASES.filter(({ couple, tempC }) => tempC >= 300 && tempC < coupleRangeC(couple).highC))(
    '$couple at $tempC °C, read with the junction at 25 °C',
    ({ couple, tempC, printedMv }) => {
      const spec = { name: 'low', couple, form: { kind: 'uv' } } as const;
      const { tempC: read } = convert(spec, (printedMv - AT_25_C[couple]) * 1000, 25);
      // Two printed values, so twice the rounding.
      const allowedC = ((2 * ROUNDING_MV) / emfSlopeMvPerC(couple, tempC)) * 1.01;
      expect(Math.abs(Number(read) - tempC)).toBeLessThanOrEqual(allowedC);
    },
  );
});
