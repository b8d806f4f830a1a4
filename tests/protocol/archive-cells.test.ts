import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  coneCell,
  coneFromCell,
  countFromCell,
  exactCell,
  fixedCell,
  guardText,
  numberFromCell,
  unguardText,
} from '../../protocol/archive-cells.ts';

describe('text that a spreadsheet would run', () => {
  // OWASP, 'CSV Injection': cells that begin with these are taken for formulas.
  it.each(['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', '\r=1', '\n=1', '＝1', '＋1', '－1', '＠1'])(
    'gets an apostrophe before it: %j',
    (text) => {
      expect(guardText(text)).toBe(`'${text}`);
      expect(unguardText(guardText(text))).toBe(text);
    },
  );

  it.each(['', 'Ada', "Ada's", '5-2', ' =1', '{"log":"note"}'])('is left as it is otherwise: %j', (text) => {
    expect(guardText(text)).toBe(text);
    expect(unguardText(text)).toBe(text);
  });

  it('reads back whatever it was, apostrophes included', () => {
    const nasty = fc.string({
      unit: fc.constantFrom("'", '=', '+', '-', '@', '\t', '\r', '\n', '"', ',', 'a'),
    });
    fc.assert(
      fc.property(
        fc.oneof(nasty, fc.string({ unit: 'binary' })),
        (text) => unguardText(guardText(text)) === text,
      ),
    );
    fc.assert(fc.property(nasty, (text) => !/^[=+\-@\t\r\n]/.test(guardText(text))));
  });

  it('leaves an apostrophe that a person typed', () => {
    expect(unguardText("'tis hot")).toBe("'tis hot");
  });
});

describe('numbers', () => {
  it('read back as exactly the same number', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) =>
        Object.is(numberFromCell(exactCell(value)), value),
      ),
    );
  });

  it.each([
    [1204.4, 2, '1204.40'],
    [-5.256, 2, '-5.26'],
    [-0.001, 2, '0.00'],
    [0, 2, '0.00'],
    [null, 2, ''],
    [Number.NaN, 2, ''],
    [Number.POSITIVE_INFINITY, 2, ''],
  ])('%s with %i decimals is %j', (value, decimals, text) => {
    expect(fixedCell(value, decimals)).toBe(text);
  });

  it('an empty cell is no number, and other text is told from it', () => {
    expect(numberFromCell('')).toBeNull();
    for (const text of ['x', ' 1', '1 ', '0x10', '1,5', 'NaN', 'Infinity', '.5', '1.', '--1', '1e', "'-5.2"])
      expect(numberFromCell(text), text).toBeUndefined();
  });

  it('counts are whole, and small enough to be exact', () => {
    expect(countFromCell('4294967295')).toBe(4_294_967_295);
    for (const text of ['', '-1', '1.0', '1e3', '9007199254740993'])
      expect(countFromCell(text), text).toBeUndefined();
  });
});

describe('cones', () => {
  // The scale of the Orton chart runs 022 ... 01, 1 ... 14.
  it.each(['022', '06', '05.7', '01', '1', '8.4', '14'])('%s reads back', (cone) => {
    expect(coneCell(cone)).toBe(`cone ${cone}`);
    expect(coneFromCell(coneCell(cone))).toBe(cone);
  });

  it('none is an empty cell, and a bare number is no cone', () => {
    expect(coneCell(null)).toBe('');
    expect(coneFromCell('')).toBeNull();
    for (const text of ['6', '06', 'cone', 'cone x', 'cone 6 '])
      expect(coneFromCell(text), text).toBeUndefined();
  });
});
