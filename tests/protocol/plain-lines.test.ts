import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parsePlainLine } from '../../protocol/plain-lines.ts';

describe('values', () => {
  test.each<[string, (number | null)[]]>([
    ['23.5', [23.5]],
    ['23.5,24.0', [23.5, 24]],
    ['23.5\t24.0', [23.5, 24]],
    ['  23.5   24.0 ', [23.5, 24]],
    ['23.5; 24.0', [23.5, 24]],
    ['-3, +4, 5.', [-3, 4, 5]],
    ['T1=23.5 C, T2=24.0', [23.5, 24]],
    ['T1 = 23.5 C  T2 = 24.0 C', [23.5, 24]],
    ['low: 23.5C high: 24.0C', [23.5, 24]],
    ['low:23.5\u00b0C high:24.0\u00b0C', [23.5, 24]],
    ['low:23.5\u00c2\u00b0C', [23.5]],
    ['Temperature 74.3 degF', [74.3]],
    ['Temperature 74.3degF', [74.3]],
    ['{"low":23.5,"high":24.0}', [23.5, 24]],
    ['low (23.5) high [24.0]', [23.5, 24]],
    ['T(1)=23.5 #2:24', [23.5, 24]],
    ['nan, 24.0', [null, 24]],
    ['T1=NaN T2=ovf', [null, null]],
    ['-0.0', [0]],
  ])('%s', (text, values) => expect(parsePlainLine(text)).toEqual(values));
});

describe('words', () => {
  test.each([
    '',
    'hello',
    'T1',
    'MAX31855 ready',
    '12:34:56',
    '12:34',
    '2nd',
    'v1.2',
    '1.2.3',
    '3-4',
    '45%',
    '1e3',
    '0x1F',
    '12345678',
    'probe1 open',
    'nano',
    '-',
  ])('%s', (text) => expect(parsePlainLine(text)).toBeNull());
});

test('a line that holds $ or * is never plain', () => {
  fc.assert(
    fc.property(fc.string(), fc.constantFrom('$', '*'), fc.string(), (a, sign, b) => {
      expect(parsePlainLine(`${a} 23.5 ${sign}${b}`)).toBeNull();
    }),
  );
});

test('numbers printed with any separator are read back', () => {
  const printed = fc.integer({ min: -999_999, max: 999_999 }).map((n) => (n / 100).toFixed(2));
  const separator = fc.constantFrom(',', ', ', '\t', ' ', '; ', '  ');
  fc.assert(
    fc.property(fc.array(printed, { minLength: 1, maxLength: 8 }), separator, (numbers, by) => {
      expect(parsePlainLine(numbers.join(by))).toEqual(numbers.map((text) => Number(text) + 0));
    }),
  );
});
