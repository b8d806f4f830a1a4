/** Cones by name and number: as potters write them, toward zero. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { CONE_NAMES, formatCone, parseCone } from '../../protocol/cones.ts';

describe('a value as potters write it', () => {
  test.each([
    [-5.7, '05.7'],
    [-6, '06'],
    [-5.5, '05.5'],
    [-10.34, '010.3'],
    [-10.39, '010.3'],
    [-22, '022'],
    [-22.01, null],
    [-1.04, '01'],
    [-1.15, '01.1'],
    [-1, '01'],
    [-0.6, '01'],
    [0, '01'],
    [0.99, '01'],
    [1, '1'],
    [5.5, '5.5'],
    [8.39, '8.3'],
    [8.4, '8.4'],
    [9, '9'],
    [9.04, '9'],
    [13.99, '13.9'],
    [14, '14'],
    [14.7, '14'],
    [Number.POSITIVE_INFINITY, '14'],
    [Number.NEGATIVE_INFINITY, null],
    [Number.NaN, null],
    [null, null],
  ])('%s is %s', (value, text) => {
    expect(formatCone(value)).toBe(text);
  });

  test('a tenth is not lost to binary arithmetic', () => {
    expect(formatCone(8.3)).toBe('8.3');
    expect(formatCone(8 + 0.1 + 0.1 + 0.1)).toBe('8.3');
    expect(formatCone(9 - 0.7)).toBe('8.3');
    expect(formatCone(-6 + 0.3)).toBe('05.7');
    expect(formatCone(-6 + 0.1 + 0.1 + 0.1)).toBe('05.7');
    expect(formatCone(-10 - 0.1 - 0.1 - 0.1)).toBe('010.3');
    expect(formatCone(1.1 * 1.1 + 0.89)).toBe('2.1');
  });
});

describe('a name', () => {
  test.each([
    ['06', -6],
    ['8.4', 8.4],
    ['cone 06', -6],
    ['cone 05.7', -5.7],
    ['cone 10', 10],
    [' 9 ', 9],
    ['022', -22],
    ['14', 14],
    ['010', -10],
    ['10', 10],
    ['01', -1],
    ['1', 1],
  ])('%s is %f', (text, value) => {
    expect(parseCone(text)).toBe(value);
  });

  test.each([
    '',
    'cone',
    'cone ',
    '0',
    '00',
    '0.5',
    '023',
    '022.1',
    '14.1',
    '15',
    '99',
    '-6',
    '+6',
    '6.',
    '.5',
    '6.25',
    '6e0',
    '0x6',
    'six',
    '6 7',
    '006',
    'cone cone 6',
    'Infinity',
  ])('%j is none', (text) => {
    expect(parseCone(text)).toBeNull();
  });

  test('the 38 cones of the chart go up the scale, and are written as they are read', () => {
    const values = CONE_NAMES.map((name) => Number(parseCone(name)));
    expect(values).toHaveLength(38);
    expect([...values].sort((a, b) => a - b)).toEqual(values);
    expect(values.map((value) => formatCone(value))).toEqual([...CONE_NAMES]);
  });

  test('every tenth is written as it is read', () => {
    for (let tenths = -220; tenths <= 140; tenths++) {
      if (tenths > -10 && tenths < 10) continue;
      expect(parseCone(formatCone(tenths / 10) ?? '')).toBe(tenths / 10);
    }
  });

  test('what is written is less than a tenth nearer zero than the value, and never past it', () => {
    const value = fc.oneof(
      fc.double({ min: -22, max: -1, noNaN: true }),
      fc.double({ min: 1, max: 14, noNaN: true }),
    );
    fc.assert(
      fc.property(value, (v) => {
        const read = Number(parseCone(formatCone(v) ?? ''));
        expect(Math.sign(read)).toBe(Math.sign(v));
        expect(Math.abs(v) - Math.abs(read)).toBeGreaterThan(-1e-9);
        expect(Math.abs(v) - Math.abs(read)).toBeLessThan(0.1);
      }),
      { numRuns: 2000 },
    );
  });
});
