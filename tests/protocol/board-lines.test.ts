import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type BoardLine,
  type CollectorLine,
  formatBoardLine,
  formatCollectorLine,
  parseBoardLine,
  parseCollectorLine,
} from '../../protocol/board-lines.ts';
import { crc16, crcText } from '../../protocol/crc16.ts';
import { boardLine, collectorLine } from './arbitrary-lines.ts';

const framed = (body: string) => `$${body}*${crcText(crc16(body))}`;
const whyBoard = (body: string) => {
  const parsed = parseBoardLine(framed(body));
  return parsed.ok ? 'ok' : parsed.why;
};

describe('the examples of the format', () => {
  const toBoard: [string, CollectorLine][] = [
    ['$?*264C', { kind: 'hello?' }],
    ['$G,5,9*D568', { kind: 'give', from: 5, to: 9 }],
    ['$L,2*F1CA', { kind: 'lamp', level: 2 }],
  ];
  test.each(toBoard)('%s to the board', (text, line) => {
    expect(parseCollectorLine(text)).toEqual({ ok: true, line });
    expect(formatCollectorLine(line)).toBe(text);
  });

  const probes = [
    { name: 'low', couple: 'K' as const, form: { kind: 'uv' as const } },
    { name: 'high', couple: 'S' as const, form: { kind: 'uv' as const } },
  ];
  const fromBoard: [string, BoardLine][] = [
    ['$M,5,9*93C6', { kind: 'missing', from: 5, to: 9 }],
    ['$P,0,61000,3*B7D4', { kind: 'button', seq: 0, uptimeMs: 61000, button: 3 }],
    [
      '$B,1,shed-1,9F00C2A1,1000,3600,low:K:uv,high:S:uv*D916',
      { kind: 'hello', hello: { board: 'shed-1', boot: '9F00C2A1', periodMs: 1000, keeps: 3600, probes } },
    ],
    [
      '$R,0,1000,18.50,12,3*3085',
      { kind: 'reading', seq: 0, uptimeMs: 1000, coldJunctionC: 18.5, values: [12, 3] },
    ],
  ];
  test.each(fromBoard)('%s from the board', (text, line) => {
    expect(parseBoardLine(text)).toEqual({ ok: true, line });
    expect(parseBoardLine(formatBoardLine(line))).toEqual({ ok: true, line });
  });
});

describe('what is written is read back', () => {
  test('from the board', () => {
    fc.assert(
      fc.property(boardLine, (line) => {
        expect(parseBoardLine(formatBoardLine(line))).toEqual({ ok: true, line });
      }),
    );
  });
  test('to the board', () => {
    fc.assert(
      fc.property(collectorLine, (line) => {
        expect(parseCollectorLine(formatCollectorLine(line))).toEqual({ ok: true, line });
      }),
    );
  });
});

describe('readings', () => {
  test.each([
    ['R,0,0,,1', 'ok'],
    ['R,4294967295,4294967295,-9999999.999999,!open,,!short,!range', 'ok'],
    ['R,007,1,20,1', 'ok'],
    ['R,4294967296,0,20,1', 'bad-field'],
    ['R,-1,0,20,1', 'bad-field'],
    ['R,+1,0,20,1', 'bad-field'],
    ['R,1.0,0,20,1', 'bad-field'],
    ['R,,0,20,1', 'bad-field'],
    ['R,1,,20,1', 'bad-field'],
    ['R,1, 2,20,1', 'bad-field'],
    ['R,1,2,20,12345678', 'bad-field'],
    ['R,1,2,20,1.1234567', 'bad-field'],
    ['R,1,2,20,1.', 'bad-field'],
    ['R,1,2,20,.5', 'bad-field'],
    ['R,1,2,20,1e3', 'bad-field'],
    ['R,1,2,20,NaN', 'bad-field'],
    ['R,1,2,20,!Open', 'bad-field'],
    ['R,1,2,20,!', 'bad-field'],
    ['R,1,2,!open,1', 'bad-field'],
    ['R,1,2,20', 'wrong-fields'],
    ['R', 'wrong-fields'],
    ['r,1,2,20,1', 'unknown-letter'],
    ['RR,1,2,20,1', 'unknown-letter'],
    ['', 'unknown-letter'],
    ['G,5,9', 'unknown-letter'],
  ])('%s: %s', (body, verdict) => expect(whyBoard(body)).toBe(verdict));

  test('never give -0', () => {
    const parsed = parseBoardLine(framed('R,1,2,-0,-0.000'));
    expect(parsed).toEqual({
      ok: true,
      line: { kind: 'reading', seq: 1, uptimeMs: 2, coldJunctionC: 0, values: [0] },
    });
  });
});

describe('hellos', () => {
  test.each([
    ['B,1,a,00000000,1,0,low:K:lin41.276', 'ok'],
    ['B,1,a,00000000,1,0,low:K:lin0', 'bad-field'],
    ['B,1,a,00000000,1,0,low:K:lin', 'bad-field'],
    ['B,1,a,00000000,1,0,low:X:uv', 'bad-field'],
    ['B,1,a,00000000,1,0,Low:K:uv', 'bad-field'],
    ['B,1,a,00000000,1,0,seventeen-letters:K:uv', 'bad-field'],
    ['B,1,a,00000000,1,0,low:K:uv,low:S:uv', 'bad-field'],
    ['B,1,a,00000000,1,0', 'wrong-fields'],
    ['B,1,a,00000000,1,0,', 'bad-field'],
    ['B,2,a,00000000,1,0,low:K:uv', 'bad-field'],
    ['B,1,,00000000,1,0,low:K:uv', 'bad-field'],
    ['B,1,seventeen-letters,00000000,1,0,low:K:uv', 'bad-field'],
    ['B,1,a,0000000,1,0,low:K:uv', 'bad-field'],
    ['B,1,a,0000000G,1,0,low:K:uv', 'bad-field'],
    ['B,1,a,00000000,0,0,low:K:uv', 'bad-field'],
    ['B,1,a,00000000,1,4294967296,low:K:uv', 'bad-field'],
  ])('%s: %s', (body, verdict) => expect(whyBoard(body)).toBe(verdict));
});

describe('presses, ranges and what goes to the board', () => {
  test.each([
    ['P,0,0,0', 'bad-field'],
    ['P,0,0,9', 'bad-field'],
    ['P,0,0,8', 'ok'],
    ['P,0,0', 'wrong-fields'],
    ['P,0,0,1,1', 'wrong-fields'],
    ['M,4294967290,3', 'ok'],
    ['M,1', 'wrong-fields'],
    ['M,1,2,3', 'wrong-fields'],
    ['M,1,', 'bad-field'],
  ])('%s: %s', (body, verdict) => expect(whyBoard(body)).toBe(verdict));

  test.each([
    ['?', 'ok'],
    ['?,1', 'wrong-fields'],
    ['G,0,199', 'ok'],
    ['G,0,200', 'bad-field'],
    ['G,4294967200,103', 'ok'],
    ['G,4294967200,104', 'bad-field'],
    ['G,9,5', 'bad-field'],
    ['G,9', 'wrong-fields'],
    ['L,3', 'bad-field'],
    ['L,', 'bad-field'],
    ['L', 'wrong-fields'],
    ['L,1,1', 'wrong-fields'],
    ['R,1,2,3,4', 'unknown-letter'],
  ])('to the board %s: %s', (body, verdict) => {
    const parsed = parseCollectorLine(framed(body));
    expect(parsed.ok ? 'ok' : parsed.why).toBe(verdict);
  });
});

describe('the frame', () => {
  const body = 'R,0,1000,18.50,12,3';
  test.each([
    ['', 'not-framed'],
    ['$', 'not-framed'],
    ['*29B1', 'not-framed'],
    [` ${framed(body)}`, 'not-framed'],
    [`${framed(body)} `, 'not-framed'],
    [`${framed(body)}\r`, 'not-framed'],
    [framed(body).replace('3085', '308'), 'not-framed'],
    [framed(body).replace('$', '#'), 'not-framed'],
    [framed('R,0,1000,18.50,1*2,3'), 'not-framed'],
    [framed('R,0,1000,18.50,1$2,3'), 'not-framed'],
    [framed('R,0,1000,18.50,1\u00e9'), 'not-framed'],
    ['$G,5,9*d568', 'not-framed'],
    ['$R,0,1000,18.50,12,3*3086', 'bad-crc'],
    ['$R,0,1000,18.50,12,4*3085', 'bad-crc'],
  ])('%j: %s', (text, why) => expect(parseBoardLine(text)).toEqual({ ok: false, why }));

  test('holds 240 bytes and not one more', () => {
    const lineOf = (bytes: number) => framed('R,0,0,0'.padEnd(bytes - 6, ',1'));
    expect(lineOf(240)).toHaveLength(240);
    expect(parseBoardLine(lineOf(240)).ok).toBe(true);
    expect(parseBoardLine(lineOf(241))).toEqual({ ok: false, why: 'too-long' });
    const values = (count: number): BoardLine => ({
      kind: 'reading',
      seq: 0,
      uptimeMs: 0,
      coldJunctionC: 0,
      values: Array.from({ length: count }, () => 1),
    });
    expect(formatBoardLine(values(113))).toHaveLength(239);
    expect(() => formatBoardLine(values(114))).toThrow(RangeError);
  });
});

describe('what the format cannot say is not written', () => {
  const reading = { kind: 'reading' as const, seq: 0, uptimeMs: 0, coldJunctionC: 0, values: [1] };
  test.each<[string, BoardLine]>([
    ['a value of ten million', { ...reading, values: [1e7] }],
    ['a value that rounds to ten million', { ...reading, values: [9_999_999.999_999_9] }],
    ['a value that is not a number', { ...reading, values: [Number.NaN] }],
    ['no value', { ...reading, values: [] }],
    ['a seq beyond 32 bits', { ...reading, seq: 2 ** 32 }],
    ['a seq that is not whole', { ...reading, seq: 0.5 }],
    ['a negative uptime', { ...reading, uptimeMs: -1 }],
    ['button 9', { kind: 'button', seq: 0, uptimeMs: 0, button: 9 }],
    [
      'a board id with a comma',
      { kind: 'hello', hello: { board: 'a,b', boot: '00000000', periodMs: 1, keeps: 0, probes: [] } },
    ],
  ])('%s', (_, line) => expect(() => formatBoardLine(line)).toThrow(RangeError));

  test('201 readings in one G', () => {
    expect(() => formatCollectorLine({ kind: 'give', from: 4294967295, to: 199 })).toThrow(RangeError);
  });
});

describe('noise', () => {
  test('no single flipped bit makes another line of a good one', () => {
    fc.assert(
      fc.property(boardLine, (line) => {
        const text = formatBoardLine(line);
        for (let bit = 0; bit < text.length * 8; bit += 1) {
          const codes = Array.from(
            text,
            (char, i) => char.charCodeAt(0) ^ (i === bit >> 3 ? 1 << (bit & 7) : 0),
          );
          // A flip can make a line end: then there are two lines.
          for (const part of String.fromCharCode(...codes).split('\n'))
            expect(parseBoardLine(part.replace(/\r$/, '')).ok).toBe(false);
        }
      }),
      { numRuns: 30 },
    );
  });

  test('any text is read without an exception, and what is accepted is what would be written', () => {
    const torn = fc.tuple(boardLine, fc.nat(), fc.string({ unit: 'binary' })).map(([line, cut, junk]) => {
      const text = formatBoardLine(line);
      return text.slice(0, cut % text.length) + junk;
    });
    fc.assert(
      fc.property(fc.oneof(fc.string({ unit: 'binary' }), torn), (text) => {
        const parsed = parseBoardLine(text);
        if (parsed.ok) expect(parseBoardLine(formatBoardLine(parsed.line))).toEqual(parsed);
        else expect(parsed.why).toMatch(/^[a-z-]+$/);
        parseCollectorLine(text);
      }),
    );
  });
});
