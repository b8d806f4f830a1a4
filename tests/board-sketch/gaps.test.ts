import { describe, expect, test } from 'vitest';
import { formatCollectorLine, parseBoardLine } from '../../protocol/board-lines.ts';
import { benchBoard, framed } from './bench-board.ts';
import { compileBoard, hasAvrGcc } from './toolchain.ts';

const give = (from: number, to: number) => formatCollectorLine({ kind: 'give', from, to });

function isReading(text: string): boolean {
  return text.startsWith('$R');
}

describe.skipIf(!hasAvrGcc())('past readings, asked for again (needs avr-gcc)', { timeout: 240_000 }, () => {
  test('come byte for byte as they were, once each and in order', () => {
    const bench = benchBoard();
    bench.go(300_500);
    const live = bench.said.map(({ text }) => text).filter(isReading);
    bench.said.length = 0;
    bench.tell(give(40, 239));
    bench.go(2200);
    const now = bench.said.filter(({ text }) => {
      const parsed = parseBoardLine(text);
      return parsed.ok && parsed.line.kind === 'reading' && parsed.line.seq >= 300;
    });
    expect(now.length).toBe(2);
    expect(bench.said.filter((line) => !now.includes(line)).map(({ text }) => text)).toEqual(
      live.slice(40, 240),
    );
  });

  test('what is gone is told after what is there, what is not yet there as well', () => {
    const bench = benchBoard();
    bench.go(10_500);
    bench.said.length = 0;
    bench.tell(give(8, 12));
    bench.go(100);
    bench.tell(give(2 ** 32 - 3, 1));
    bench.go(100);
    bench.tell(give(5000, 5199));
    bench.go(100);
    const seqs = bench.said.map(({ text }) => text.slice(1, text.lastIndexOf('*')).split(',').slice(0, 3));
    expect(seqs.map(([letter, a, b]) => (letter === 'M' ? `M ${a} ${b}` : `R ${a}`))).toEqual([
      'R 8',
      'R 9',
      'M 10 12',
      'R 0',
      'R 1',
      'M 4294967293 4294967295',
      'M 5000 5199',
    ]);
  });

  test('before the first reading everything is missing', () => {
    const bench = benchBoard();
    bench.go(500);
    bench.tell(give(0, 9));
    bench.go(100);
    expect(bench.said.at(-1)?.text).toBe(framed('M,0,9'));
  });

  test('a hello promises what is there: all of it comes, and of what is older nothing', () => {
    const bench = benchBoard();
    bench.go(1_500_500);
    bench.tell('$?*264C');
    bench.go(100);
    const keeps = bench.lines('hello').at(-1)?.hello.keeps ?? 0;
    // Ten minutes at least, at a reading a second.
    expect(keeps).toBeGreaterThan(600);
    expect(keeps).toBeLessThan(1500);
    const live = new Map(
      bench.said.filter(({ text }) => isReading(text)).map(({ text }) => [text.split(',')[1], text]),
    );
    bench.said.length = 0;
    const oldest = 1500 - keeps;
    bench.tell(give(oldest - 60, oldest + 9));
    bench.go(300);
    const said = bench.said.map(({ text }) => text);
    expect(said.slice(-11, -1)).toEqual(Array.from({ length: 10 }, (_, n) => live.get(String(oldest + n))));
    // A few more are there than were promised, and will be gone in a moment.
    const more = said.length - 11;
    expect(more).toBeLessThan(12);
    expect(said.at(-1)).toBe(framed(`M,${oldest - 60},${oldest - 1 - more}`));
  });

  test('readings of now are told in time while 800 of the past are sent', () => {
    const config = new URL('./four-linear.h', import.meta.url).pathname;
    const bench = benchBoard({ firmware: compileBoard({ config }), chips: [] });
    bench.go(170_050);
    bench.said.length = 0;
    for (let n = 0; n < 4; n += 1) bench.tell(give(n * 200, n * 200 + 199));
    bench.go(3000);
    const readings = bench.said.flatMap(({ text, ms }) => {
      const parsed = parseBoardLine(text);
      return parsed.ok && parsed.line.kind === 'reading' ? [{ ms, ...parsed.line }] : [];
    });
    const live = readings.filter(({ seq }) => seq >= 850);
    expect(readings.length - live.length).toBe(800);
    expect(live.length).toBe(15);
    for (const { ms, uptimeMs } of live)
      expect(ms - uptimeMs - (live[0]?.ms ?? 0) + (live[0]?.uptimeMs ?? 0)).toBeLessThan(25);
  });

  test('five questions at once are all answered, and one that waits already is not put again', () => {
    const bench = benchBoard();
    bench.go(60_500);
    bench.said.length = 0;
    for (const from of [0, 10, 20, 10, 30, 40]) bench.tell(give(from, from + 4));
    bench.go(400);
    const seqs = bench.lines('reading').map(({ seq }) => seq);
    expect(seqs).toEqual([0, 10, 20, 30, 40].flatMap((from) => [0, 1, 2, 3, 4].map((n) => from + n)));
  });
});
