import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { formatCollectorLine } from '../../protocol/board-lines.ts';
import { tempFolder } from '../support/collector.ts';
import { benchBoard, PINS } from './bench-board.ts';
import { readHex } from './emulator/hex.ts';
import { compileBoard, FLAGS, FLASH_BYTES, hasAvrGcc, RAM_BYTES, SKETCH } from './toolchain.ts';

const config = (name: string) => new URL(`./${name}.h`, import.meta.url).pathname;

describe.skipIf(!hasAvrGcc())('the board sketch is built (needs avr-gcc)', { timeout: 240_000 }, () => {
  test.each([
    ['board-config.h', undefined],
    ['four linear chips, eight buttons', config('four-linear')],
    ['four linearising chips, eight buttons', config('four-linearising')],
  ])('%s: without a warning, and a fifth of the RAM is left for the stack', (name, path) => {
    const { flashBytes, ramBytes } = compileBoard(path === undefined ? {} : { config: path });
    console.log(
      `${name}: flash ${flashBytes} of ${FLASH_BYTES} bytes, RAM ${ramBytes} of ${RAM_BYTES} bytes (${Math.round((100 * ramBytes) / RAM_BYTES)} %)`,
    );
    // Boards with a boot loader keep 2 kB for it at most.
    expect(flashBytes).toBeLessThan(FLASH_BYTES - 2048);
    expect(ramBytes).toBeLessThanOrEqual(0.8 * RAM_BYTES);
  });

  test('of what is left for it the stack never takes more than half, whatever is asked', () => {
    const bench = benchBoard();
    bench.go(700_000);
    bench.board.setContact(PINS.buttons[0], true);
    bench.board.setContact(PINS.buttons[1], true);
    for (let from = 0; from < 800; from += 200)
      bench.tell(formatCollectorLine({ kind: 'give', from, to: from + 199 }));
    for (let n = 0; n < 40; n += 1) {
      bench.tell('$?*264C');
      bench.tell(formatCollectorLine({ kind: 'lamp', level: 2 }));
      bench.go(170);
    }
    const { ramBytes } = compileBoard();
    const stack = RAM_BYTES - ramBytes;
    const used = stack - bench.board.untouchedStack();
    console.log(`stack: ${used} of ${stack} bytes used at most`);
    expect(used).toBeGreaterThan(40);
    expect(used).toBeLessThan(stack / 2);
  });

  test.each([
    ['a name with a capital', '"low"', '"Low"'],
    ['a couple that the chip does not take', "'K', Chip::MAX31855", "'B', Chip::MAX31855"],
    ['a name twice', '"high"', '"low"'],
    ['a select pin twice', 'MAX31856, 9', 'MAX31856, 10'],
    ['a period that the chips cannot keep', 'PERIOD_MS = 1000', 'PERIOD_MS = 100'],
  ])('%s does not compile', (_, from, to) => {
    const folder = tempFolder();
    const path = join(folder.path, 'config.h');
    const text = readFileSync(join(SKETCH, 'board-config.h'), 'utf8');
    expect(text).toContain(from);
    writeFileSync(path, text.replace(from, to));
    expect(() => compileBoard({ config: path })).toThrow(/static assertion failed/);
    folder.remove();
  });
});

describe('what stands beside the sketch', () => {
  test('the README compiles it with the same flags as the tests', () => {
    const readme = readFileSync(join(SKETCH, 'README.md'), 'utf8');
    expect(readme).toContain(`avr-g++ ${FLAGS.join(' ')} *.cpp`);
  });

  test('the wiring table has the pins of board-config.h', () => {
    const readme = readFileSync(join(SKETCH, 'README.md'), 'utf8');
    const table = new Map(
      [...readme.matchAll(/^\| ([^|]+) \| ([^|]+) \|$/gm)].map(([, pins = '', what = '']) => [pins, what]),
    );
    const sketch = readFileSync(join(SKETCH, 'board-config.h'), 'utf8');
    const [buttons] = /BUTTON_PINS\[\] PROGMEM = \{([^}]*)\}/.exec(sketch)?.slice(1) ?? [];
    const lamp = /LAMP_PIN = (\d+)/.exec(sketch)?.[1];
    const buzzer = /BUZZER_PIN = A_PIN\((\d)\)/.exec(sketch)?.[1];
    const loose = /LOOSE_PIN = A_PIN\((\d)\)/.exec(sketch)?.[1];
    const selects = [...sketch.matchAll(/\{"(\w+)", '\w', Chip::\w+, (\d+)\}/g)];
    expect(selects.length).toBeGreaterThan(1);
    expect(table.get(buttons ?? '')).toMatch(/^buttons/);
    expect(table.get(lamp ?? '')).toMatch(/^lamp/);
    expect(table.get(`A${buzzer}`)).toMatch(/^buzzer/);
    expect(table.get(`A${loose}`)).toMatch(/^nothing/);
    for (const [, name, pin] of selects)
      expect(table.get(pin ?? '')).toMatch(new RegExp(`^select.*\`${name}\``));
  });

  test('an Intel HEX file with a wrong checksum, a torn end or other records is not taken', () => {
    const good = ':020000000C945E\n:00000001FF\n';
    expect([...readHex(good, 4)]).toEqual([0x940c, 0xffff]);
    for (const bad of [
      good.replace('5E', '5F'),
      good.slice(0, -12),
      'x',
      ':0200000212005A\n',
      `${good}${good}`,
    ])
      expect(() => readHex(bad, 4), bad).toThrow();
  });
});
