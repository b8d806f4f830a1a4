import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatBoardLine, formatCollectorLine, parseBoardLine } from '../../protocol/board-lines.ts';
import { benchBoard, constantWorld, framed } from './bench-board.ts';
import { max31855 } from './emulator/max31855.ts';
import { max31856 } from './emulator/max31856.ts';
import { compileBoard, hasAvrGcc } from './toolchain.ts';

const four = new URL('./four-linear.h', import.meta.url).pathname;

describe.skipIf(!hasAvrGcc())('what the board says (needs avr-gcc)', { timeout: 240_000 }, () => {
  test('hello at boot, then a reading each period, byte for byte', () => {
    const chips = [max31855(constantWorld(4003, 393)), max31856(constantWorld(-128 * 5 - 1, 1605))];
    const bench = benchBoard({ chips });
    bench.go(3500);
    const [hello, ...readings] = bench.said.map(({ text }) => text);
    expect(hello).toMatch(/^\$B,1,kiln-shed,[0-9A-F]{8},1000,\d+,low:K:lin41\.276,high:S:deg\*[0-9A-F]{4}$/);
    // 393/16 °C and 4003/4 °C as they are; -641/128 °C is -5.0078125, to six decimals.
    expect(readings).toEqual([
      framed('R,0,1000,24.5625,1000.75,-5.007813'),
      framed('R,1,2000,24.5625,1000.75,-5.007813'),
      framed('R,2,3000,24.5625,1000.75,-5.007813'),
    ]);
  });

  test('every line is what the codec itself would write, to the last byte', () => {
    const bench = benchBoard();
    bench.go(20_000);
    bench.tell('$?*264C');
    bench.tell(formatCollectorLine({ kind: 'give', from: 3, to: 40 }));
    bench.go(1000);
    const kinds = new Set<string>();
    for (const { text } of bench.said) {
      const parsed = parseBoardLine(text);
      expect(parsed.ok, text).toBe(true);
      if (!parsed.ok) continue;
      kinds.add(parsed.line.kind);
      expect(formatBoardLine(parsed.line)).toBe(text);
    }
    expect([...kinds].sort()).toEqual(['hello', 'missing', 'reading']);
  });

  test('the longest names make a hello that fits into a line', () => {
    const chips = [1, 2, 3, 4].map((code) => max31855(constantWorld(code, 1)));
    const bench = benchBoard({ firmware: compileBoard({ config: four }), chips });
    bench.go(300);
    const [hello] = bench.lines('hello');
    expect(hello?.hello.board).toBe('a-board-of-16-ch');
    expect(hello?.hello.periodMs).toBe(200);
    expect(hello?.hello.probes.map(({ name, couple, form }) => [name, couple, form])).toEqual([
      ['sixteen-letters1', 'K', { kind: 'lin', uvPerC: 41.276 }],
      ['sixteen-letters2', 'J', { kind: 'lin', uvPerC: 57.953 }],
      ['sixteen-letters3', 'E', { kind: 'lin', uvPerC: 76.373 }],
      ['sixteen-letters4', 'N', { kind: 'lin', uvPerC: 36.256 }],
    ]);
    expect(bench.lines('reading')[0]?.values).toEqual([0.25, 0.5, 0.75, 1]);
  });

  test('the pace is kept to the millisecond, and each reading told within 40 ms', () => {
    const bench = benchBoard();
    bench.go(600_500);
    const readings = bench.lines('reading');
    expect(readings).toHaveLength(600);
    expect(readings.every(({ seq, uptimeMs }) => uptimeMs === 1000 * (seq + 1))).toBe(true);
    const tooLate = bench.said.filter(({ text, ms }) => text.startsWith('$R') && ms % 1000 > 40);
    expect(tooLate).toEqual([]);
  });
});

describe.skipIf(!hasAvrGcc())('what the board understands (needs avr-gcc)', { timeout: 240_000 }, () => {
  test('a hello for each ?, with CR or without, after junk or a torn line', () => {
    const bench = benchBoard();
    bench.go(500);
    for (const text of ['$?*264C', '$?*264C\r', 'junk$?*264C', '$G,1,$?*264C']) {
      bench.tell(text);
      bench.go(50);
    }
    expect(bench.lines('hello')).toHaveLength(5);
  });

  const bad = [
    '$?*264c',
    '$?*264D',
    '?*264C',
    framed('?,'),
    framed('??'),
    framed('X'),
    framed('G,1'),
    framed('G,1,2,3'),
    framed('G,1,'),
    framed('G,,1'),
    framed('G,-1,2'),
    framed('G,1,201'),
    framed('G,4294967296,4294967297'),
    framed('G,00000000001,2'),
    framed('g,0,0'),
    framed('L,3'),
    framed('L'),
    framed(`G,${'1'.repeat(300)},2`),
    '$*FFFF',
    '',
    '\0\0\0\0',
  ];
  test.each(bad)('%j is no line, and stops nothing', (text) => {
    const bench = benchBoard();
    bench.go(1500);
    bench.tell(text);
    bench.go(400);
    expect(bench.said.map((line) => line.text.slice(0, 2))).toEqual(['$B', '$R']);
    bench.tell('$?*264C');
    bench.go(100);
    expect(bench.said.map((line) => line.text.slice(0, 2))).toEqual(['$B', '$R', '$B']);
  });

  test('any bytes at all leave it reading once a second, saying nothing but lines', () => {
    fc.assert(
      fc.property(fc.array(fc.uint8Array({ minLength: 1, maxLength: 300 }), { maxLength: 20 }), (chunks) => {
        const bench = benchBoard();
        for (const chunk of chunks) {
          bench.go(250);
          bench.board.hear(chunk);
        }
        bench.go(2100);
        const readings = bench.lines('reading');
        expect(readings.length).toBe(Math.floor((bench.board.ms - 50) / 1000));
      }),
      { numRuns: 15 },
    );
  });
});
