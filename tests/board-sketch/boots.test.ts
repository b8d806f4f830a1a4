import { describe, expect, test } from 'vitest';
import { formatCollectorLine } from '../../protocol/board-lines.ts';
import { benchBoard } from './bench-board.ts';
import { hasAvrGcc } from './toolchain.ts';

describe.skipIf(!hasAvrGcc())('boots (needs avr-gcc)', { timeout: 240_000 }, () => {
  test('each boot has an id of its own: power-ups, resets, and other boards', () => {
    const ids: string[] = [];
    for (let seed = 1; seed <= 3; seed += 1) {
      const bench = benchBoard({ seed });
      for (let boot = 0; boot < 40; boot += 1) {
        bench.go(60);
        if (boot % 2 === 0) bench.board.reset();
        else bench.board.powerCycle();
      }
      ids.push(...bench.lines('hello').map(({ hello }) => hello.boot));
    }
    expect(ids).toHaveLength(120);
    expect(new Set(ids).size).toBe(120);
  });

  test('the EEPROM alone keeps them apart, where noise and RAM come up the same each time', () => {
    const bench = benchBoard();
    const same = benchBoard();
    for (const each of [bench, same]) each.go(60);
    expect(same.lines('hello')).toEqual(bench.lines('hello'));
    const silent = benchBoard({ seed: 1 });
    const ids = new Set<string>();
    for (let boot = 0; boot < 20; boot += 1) {
      silent.board.memory.fill(0, 0x100);
      silent.board.reset();
      silent.go(60);
      ids.add(silent.lines('hello').at(-1)?.hello.boot ?? '');
    }
    expect(ids.size).toBe(20);
  });

  test('a program that hangs is started anew by the watchdog within 3 s, with a new boot id', () => {
    const bench = benchBoard();
    bench.go(5500);
    bench.board.hang();
    bench.go(3000);
    const hellos = bench.lines('hello');
    expect(hellos).toHaveLength(2);
    expect(hellos[0]?.hello.boot).not.toBe(hellos[1]?.hello.boot);
    bench.go(60_000);
    expect(bench.lines('hello')).toHaveLength(2);
    expect(
      bench
        .lines('reading')
        .slice(-3)
        .map(({ seq }) => seq)
        .at(0),
    ).toBeGreaterThan(50);
  });

  test('a restart wipes the ring, and counts from 0', () => {
    const bench = benchBoard();
    bench.go(10_500);
    bench.board.reset();
    bench.go(2100);
    bench.said.length = 0;
    bench.tell(formatCollectorLine({ kind: 'give', from: 0, to: 9 }));
    bench.go(200);
    expect(bench.lines('reading').map(({ seq }) => seq)).toEqual([0, 1]);
    expect(bench.lines('missing')).toEqual([{ kind: 'missing', from: 2, to: 9 }]);
  });
});

describe.skipIf(!hasAvrGcc())(
  'roll-over, the counters preset to just before it (needs avr-gcc)',
  { timeout: 240_000 },
  () => {
    test('seq, press and uptime go on at 0; the pace is kept, and readings on both sides can be asked for', () => {
      const bench = benchBoard();
      bench.board.runToFunction('main');
      const before = 2 ** 32 - 10_000;
      bench.board.write('clock::nowMs', before);
      bench.board.write('presses::nextSeq', 2 ** 32 - 1);
      bench.board.runToFunction('clock::begin()');
      for (const place of ['base', 'head', 'walk'])
        bench.board.write(`ring::(anonymous namespace)::${place}`, 2 ** 32 - 21);
      bench.go(40_500);
      const live = bench.said.filter(({ text }) => text.startsWith('$R')).map(({ text }) => text);
      const readings = bench.lines('reading');
      expect(readings).toHaveLength(40);
      readings.forEach(({ seq, uptimeMs }, n) => {
        expect(seq).toBe((2 ** 32 - 20 + n) >>> 0);
        expect(uptimeMs).toBe((before + 1000 * (n + 1)) >>> 0);
      });
      bench.said.length = 0;
      bench.tell(formatCollectorLine({ kind: 'give', from: 2 ** 32 - 25, to: 19 }));
      bench.go(400);
      expect(bench.said.slice(0, 40).map(({ text }) => text)).toEqual(live);
      expect(bench.lines('missing')).toEqual([{ kind: 'missing', from: 2 ** 32 - 25, to: 2 ** 32 - 21 }]);
      for (let n = 0; n < 2; n += 1) {
        bench.board.setContact(2, true);
        bench.go(200);
        bench.board.setContact(2, false);
        bench.go(200);
      }
      expect(bench.lines('button').map(({ seq }) => seq)).toEqual([2 ** 32 - 1, 0]);
    });

    test('the lamp goes on blinking over the roll-over of the uptime', () => {
      const bench = benchBoard();
      bench.board.runToFunction('main');
      bench.board.write('clock::nowMs', 2 ** 32 - 30_000);
      bench.go(500);
      for (let n = 0; n < 6; n += 1) {
        bench.tell(formatCollectorLine({ kind: 'lamp', level: 0 }));
        bench.go(10_000);
      }
      expect(bench.board.pinChanges.filter(({ high, pin }) => high && pin === 6)).toHaveLength(12);
    });
  },
);
