import { describe, expect, test } from 'vitest';
import { formatCollectorLine } from '../../protocol/board-lines.ts';
import { type BenchBoard, benchBoard, PINS } from './bench-board.ts';
import { hasAvrGcc } from './toolchain.ts';

const lamp = (level: 0 | 1 | 2) => formatCollectorLine({ kind: 'lamp', level });
const [FIRST_PIN = 0, SECOND_PIN = 0] = PINS.buttons;

/** Contact, with the bounces of a worn button: it opens again for a moment several times. */
function contact(bench: BenchBoard, pin: number, closed: boolean): void {
  for (const bounceMs of [3, 9, 2, 12, 1]) {
    bench.board.setContact(pin, closed);
    bench.go(bounceMs);
    bench.board.setContact(pin, !closed);
    bench.go(bounceMs);
  }
  bench.board.setContact(pin, closed);
}

function press(bench: BenchBoard, pin: number): void {
  contact(bench, pin, true);
  bench.go(200);
  contact(bench, pin, false);
  bench.go(200);
}

describe.skipIf(!hasAvrGcc())('buttons (needs avr-gcc)', { timeout: 240_000 }, () => {
  test('a press with bounces is one press, told at once with its number and time', () => {
    const bench = benchBoard();
    bench.go(2345);
    press(bench, SECOND_PIN);
    press(bench, FIRST_PIN);
    const presses = bench.lines('button');
    expect(presses.map(({ seq, button }) => [seq, button])).toEqual([
      [0, 2],
      [1, 1],
    ]);
    expect(presses[0]?.uptimeMs).toBeGreaterThan(2345);
    expect(presses[0]?.uptimeMs).toBeLessThan(2345 + 150);
  });

  test('a spike on the wire is none, holding it down is one, two at once are two', () => {
    const bench = benchBoard();
    bench.go(1000);
    bench.board.setContact(FIRST_PIN, true);
    bench.go(25);
    bench.board.setContact(FIRST_PIN, false);
    bench.go(500);
    expect(bench.lines('button')).toEqual([]);
    bench.board.setContact(FIRST_PIN, true);
    bench.board.setContact(SECOND_PIN, true);
    bench.go(30_000);
    expect(bench.lines('button').map(({ button }) => button)).toEqual([1, 2]);
  });

  test('each is said once more when the collector is next heard, so that a pulled cable loses none', () => {
    const bench = benchBoard();
    bench.go(1000);
    press(bench, FIRST_PIN);
    bench.go(20_000);
    press(bench, SECOND_PIN);
    bench.said.length = 0;
    bench.tell('$?*264C');
    bench.go(100);
    bench.tell(lamp(0));
    bench.go(100);
    expect(bench.said.map(({ text }) => text.slice(0, 2))).toEqual(['$B', '$P', '$P']);
    expect(bench.lines('button').map(({ seq, button }) => [seq, button])).toEqual([
      [0, 1],
      [1, 2],
    ]);
  });
});

/** When a pin went high, and for how long, in the last `ms`. */
function pulses(bench: BenchBoard, pin: number, ms: number): { at: number; forMs: number }[] {
  const since = bench.board.ms - ms;
  const changes = bench.board.pinChanges.filter((change) => change.pin === pin && change.ms >= since);
  return changes.flatMap((change, place) => {
    const next = changes[place + 1];
    return change.high && next ? [{ at: change.ms - since, forMs: Math.round(next.ms - change.ms) }] : [];
  });
}

/** Goes on for so long, the collector saying `L` every 10 s as it does. */
function watched(bench: BenchBoard, level: 0 | 1 | 2, ms: number): void {
  for (let done = 0; done < ms; done += 10_000) {
    bench.tell(lamp(level));
    bench.go(Math.min(10_000, ms - done));
  }
}

describe.skipIf(!hasAvrGcc())('lamp and buzzer (needs avr-gcc)', { timeout: 240_000 }, () => {
  test('while the collector is heard and all is quiet: a short blink every 5 s, no sound', () => {
    const bench = benchBoard();
    bench.go(1000);
    watched(bench, 0, 60_000);
    const blinks = pulses(bench, PINS.lamp, 60_000);
    expect(blinks).toHaveLength(12);
    expect(blinks.every(({ forMs }) => forMs === 60)).toBe(true);
    expect(blinks.slice(1).every(({ at }, n) => Math.round(at - (blinks[n]?.at ?? 0)) === 5000)).toBe(true);
    expect(pulses(bench, PINS.buzzer, 60_000)).toEqual([]);
  });

  test('look soon and come now can be told apart, and both from quiet, by lamp and by ear', () => {
    const bench = benchBoard();
    bench.go(1000);
    const seen = ([0, 1, 2] as const).map((level) => {
      watched(bench, level, 60_000);
      return [pulses(bench, PINS.lamp, 55_000).length, pulses(bench, PINS.buzzer, 55_000).length];
    });
    const [quiet = [], soon = [], now = []] = seen;
    expect(quiet[1]).toBe(0);
    expect(soon[1]).toBeGreaterThan(0);
    expect(Number(soon[0])).toBeGreaterThan(2 * Number(quiet[0]));
    expect(Number(now[0])).toBeGreaterThan(2 * Number(soon[0]));
    expect(Number(now[1])).toBeGreaterThan(10 * Number(soon[1]));
    watched(bench, 0, 1000);
    watched(bench, 0, 10_000);
    expect(pulses(bench, PINS.buzzer, 10_000)).toEqual([]);
  });

  test('60 s after the last L an alarm falls silent; the lamp double-blinks and the buzzer chirps once a minute', () => {
    const bench = benchBoard();
    bench.go(1000);
    watched(bench, 2, 10_000);
    bench.go(49_000);
    expect(pulses(bench, PINS.buzzer, 10_000).length).toBeGreaterThan(8);
    bench.go(1500);
    bench.go(300_000);
    const chirps = pulses(bench, PINS.buzzer, 300_000);
    expect(chirps).toHaveLength(5);
    expect(chirps.every(({ forMs }) => forMs < 100)).toBe(true);
    const blinks = pulses(bench, PINS.lamp, 300_000);
    expect(blinks).toHaveLength(120);
    const gaps = blinks.slice(1).map(({ at }, n) => Math.round(at - (blinks[n]?.at ?? 0)));
    expect([...new Set(gaps)].sort((a, b) => a - b)).toEqual([200, 4800]);
  });

  test('an L ends that; so does a button, and then it is dark and still until an L comes', () => {
    const bench = benchBoard();
    bench.go(75_000);
    expect(pulses(bench, PINS.lamp, 14_000).length).toBeGreaterThan(3);
    press(bench, FIRST_PIN);
    bench.go(130_000);
    expect(pulses(bench, PINS.lamp, 129_000)).toEqual([]);
    expect(pulses(bench, PINS.buzzer, 129_000)).toEqual([]);
    watched(bench, 0, 30_000);
    expect(pulses(bench, PINS.lamp, 30_000)).toHaveLength(6);
    bench.go(61_000);
    watched(bench, 0, 30_000);
    expect(pulses(bench, PINS.lamp, 30_000)).toHaveLength(6);
    expect(pulses(bench, PINS.buzzer, 30_000)).toEqual([]);
  });
});
