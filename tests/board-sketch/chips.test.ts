import { describe, expect, test } from 'vitest';
import type { RawValue } from '../../protocol/probes.ts';
import { benchBoard, constantWorld } from './bench-board.ts';
import type { AtCouple, ChipWorld } from './emulator/chip.ts';
import { max31855 } from './emulator/max31855.ts';
import { max31856 } from './emulator/max31856.ts';
import { compileBoard, hasAvrGcc } from './toolchain.ts';

const configOf = (name: string) => new URL(`./${name}.h`, import.meta.url).pathname;
const four = () => compileBoard({ config: configOf('four-linear') });
const fourFine = () => compileBoard({ config: configOf('four-linearising') });

/** One code after another, a step further at each time that the chip is looked at. */
function walk(first: number, step: number, coldJunction: (n: number) => number): ChipWorld {
  let n = -1;
  return {
    couple: () => {
      n += 1;
      return first + step * n;
    },
    coldJunction: () => coldJunction(n),
  };
}

/** What a line must say of what a chip has told. */
function value(couple: AtCouple, steps: number): RawValue {
  if (typeof couple === 'number') return Number((couple / steps).toFixed(6));
  if (couple === 'open') return '!open';
  return couple === 'range' ? '!range' : '!short';
}

const wrap = (n: number, bits: number) => (n << (32 - bits)) >> (32 - bits);

describe.skipIf(!hasAvrGcc())(
  'readings, right to the last bit of the chip (needs avr-gcc)',
  { timeout: 240_000 },
  () => {
    test('each of the 16,384 codes of a MAX31855, and the 4,096 of its cold junction', () => {
      const chips = [0, 1, 2, 3].map((quarter) =>
        max31855(walk(-8192 + 4096 * quarter, 1, (n) => wrap(n, 12) || 1)),
      );
      const bench = benchBoard({ firmware: four(), chips });
      bench.go(200 * 4096 + 150);
      const readings = bench.lines('reading');
      expect(readings).toHaveLength(4096);
      const codes = new Set<number>();
      readings.forEach(({ values, coldJunctionC }, n) => {
        expect(values).toEqual(chips.map(({ told }) => value(told[n]?.couple ?? 'open', 4)));
        expect(coldJunctionC).toBe((chips[0]?.told[n]?.coldJunction ?? 0) / 16);
        for (const raw of values) codes.add(Number(raw) * 4);
      });
      expect(codes.size).toBe(16_384);
      expect([Math.min(...codes), Math.max(...codes)]).toEqual([-8192, 8191]);
    });

    test('codes of a MAX31856 from end to end with every last digit: each can be told from its line', () => {
      // 127 and 129 have no factor in common with 128: each of its fractions comes in turn.
      const chips = [
        max31856(walk(-262_144, 129, (n) => wrap(n, 14))),
        max31856(walk(-131_072, 127, () => 0)),
        max31856(walk(-520, 1, () => 0)),
        max31856(walk(262_143, -129, () => 0)),
      ];
      const bench = benchBoard({ firmware: fourFine(), chips });
      bench.go(200 * 512 + 150);
      // The first conversion may take longer than a period: until then there is nothing to tell.
      const readings = bench.lines('reading').slice(-(chips[0]?.told.length ?? 0));
      expect(readings.length).toBeGreaterThan(510);
      const codes = new Set<number>();
      readings.forEach(({ values, coldJunctionC }, n) => {
        const told = chips.map((chip) => chip.told[n]);
        values.forEach((raw, probe) => {
          const code = told[probe]?.couple;
          expect(raw).toBe(value(code ?? 'open', 128));
          expect(Math.round(Number(raw) * 128)).toBe(code);
          codes.add(Number(code));
        });
        expect(coldJunctionC).toBe((told[0]?.coldJunction ?? 0) / 64);
      });
      expect(codes.size).toBeGreaterThan(1900);
    });

    test('six decimals are enough for any of the 524,288 codes of a MAX31856', () => {
      let wrong = 0;
      for (let code = -262_144; code < 262_144; code += 1)
        if (Math.round(Number((code / 128).toFixed(6)) * 128) !== code) wrong += 1;
      expect(wrong).toBe(0);
    });
  },
);

describe.skipIf(!hasAvrGcc())(
  'faults, as the chip reports them (needs avr-gcc)',
  { timeout: 240_000 },
  () => {
    test.each<[AtCouple, RawValue]>([
      ['open', '!open'],
      ['short-to-ground', '!short'],
      ['short-to-supply', '!short'],
      [4000, 1000],
    ])('MAX31855: %s is %s, and its cold junction still counts', (couple, raw) => {
      const chips = [max31855({ couple: () => couple, coldJunction: () => -160 })];
      const bench = benchBoard({ chips });
      bench.go(1100);
      expect(bench.lines('reading')[0]).toMatchObject({ coldJunctionC: -10, values: [raw, null] });
    });

    test.each<[AtCouple, RawValue]>([
      ['open', '!open'],
      ['over-voltage', '!short'],
      ['range', '!range'],
      [128_000, 1000],
    ])('MAX31856: %s is %s', (couple, raw) => {
      const chips = [
        max31855(constantWorld(400, 320)),
        max31856({ couple: () => couple, coldJunction: () => 0 }),
      ];
      const bench = benchBoard({ chips });
      bench.go(1100);
      expect(bench.lines('reading')[0]).toMatchObject({ coldJunctionC: 20, values: [100, raw] });
    });

    test('a fault that comes and goes leaves the ring as it was told', () => {
      const couples: AtCouple[] = [4000, 4001, 'open', 'open', 'short-to-ground', 4003, 'open', 7200, -800];
      const at = (ms: number) => couples[Math.round(ms / 1000) - 1] ?? 0;
      const bench = benchBoard({ chips: [max31855({ couple: at, coldJunction: () => 1 })] });
      bench.go(9500);
      const live = bench.said.filter(({ text }) => text.startsWith('$R')).map(({ text }) => text);
      expect(bench.lines('reading').map(({ values }) => values[0])).toEqual(
        couples.map((each) => value(each, 4)),
      );
      bench.said.length = 0;
      bench.tell('$G,0,8*2EB9');
      bench.go(300);
      expect(bench.said.map(({ text }) => text)).toEqual(live);
    });

    test.each([
      ['no chip at all', undefined],
      ['a chip whose data line is held low', { select: () => undefined, deselect: () => undefined }],
    ])('%s is not measured, and takes no other with it', (_, dead) => {
      const high = max31856(constantWorld(128, 64 * 30));
      const low = dead && { ...dead, transfer: () => 0, told: [] };
      const nowhere = max31855(constantWorld(0, 0));
      const bench = benchBoard({ chips: [low ?? nowhere, high] });
      if (low === undefined) nowhere.transfer = () => 0xff;
      nowhere.deselect = () => undefined;
      bench.go(1100);
      expect(bench.lines('reading')[0]).toMatchObject({ coldJunctionC: 30, values: [null, 1] });
    });

    test('a MAX31856 that lost its supply for a moment is set up again, and never told as 0 °C', () => {
      const high = max31856(constantWorld(128 * 900, 64 * 30));
      const bench = benchBoard({ chips: [max31855(constantWorld(400, 320)), high] });
      bench.go(2500);
      high.losePower();
      bench.go(3000);
      expect(bench.lines('reading').map(({ values }) => values[1])).toEqual([900, 900, null, 900, 900]);
    });
  },
);

describe.skipIf(!hasAvrGcc())('a MAX31856 is set up (needs avr-gcc)', { timeout: 240_000 }, () => {
  test('for each couple, and for the mains of the place', () => {
    const chips = [0, 1, 2, 3].map(() => max31856(constantWorld(0, 0)));
    benchBoard({ firmware: fourFine(), chips }).go(100);
    // Types B, R, S, T: bits 3..0 of CR1 by the data sheet, from memory.
    expect(chips.map((chip) => chip.setUp())).toEqual(
      [0, 5, 6, 7].map((type) => ({ type, fiftyHz: false, converting: true })),
    );
    const high = max31856(constantWorld(0, 0));
    benchBoard({ chips: [max31855(constantWorld(0, 0)), high] }).go(100);
    expect(high.setUp()).toEqual({ type: 6, fiftyHz: true, converting: true });
  });
});
