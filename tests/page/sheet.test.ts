/** The firing sheet's figures and its drawing, from the invented evening. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { curveSvg } from '../../collector/commands/sheet.ts';
import { emptyRow } from '../../dashboard/results/table.ts';
import { conesByPlace, sheetFacts } from '../../dashboard/sheet/facts.ts';
import { paperOf, sheetAddress, unitOf } from '../../dashboard/sheet/paper.ts';
import { allPlaces, placeFacts } from '../../dashboard/sheet/places.ts';
import { type Frame, linePath, stretches } from '../../dashboard/sheet/scale.ts';
import type { LoggedEntry, RecordedFiring } from '../../protocol/firing-record.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import { alertOf, LIT_AT, recordAt } from './story.ts';

const HOUR = 3_600_000;
const record = recordAt(18.5);
const factsOf = (of: RecordedFiring) => {
  const facts = sheetFacts(of);
  if (facts === null) throw new Error('nothing recorded');
  return facts;
};
const entry = (log: string, json: Record<string, unknown>, hours: number): LoggedEntry => ({
  entry: 9000 + hours,
  id: `${log}-${hours}`,
  at: LIT_AT + hours * HOUR,
  madeAt: LIT_AT + hours * HOUR,
  who: '',
  where: 'page',
  log,
  json,
  undone: false,
});

describe('what a firing comes to', () => {
  const facts = factsOf(record);

  it('has the stages with their hours, heats and climbs, but for those in which nothing is fired', () => {
    expect(facts.stages.map(({ stage, from, to }) => [stage, (to - from) / HOUR])).toEqual([
      ['candling', 4],
      ['climbing', 11.4],
      ['salting', expect.closeTo(1.6, 5)],
      ['soak', 1],
      ['cooling', 0.5],
    ]);
    const [candling, climbing] = facts.stages;
    // The story's own line: 14 °C at light-up, 150 °C four hours in, 1205 °C at 15.2 hours.
    expect(candling).toMatchObject({ fromC: 14, toC: 150 });
    expect(candling?.climb?.mean).toBeCloseTo((150 - 14) / 4, 1);
    expect(climbing?.climb?.most).toBeCloseTo(114, 1);
    expect(climbing?.climb?.least).toBeLessThan(5);
  });

  it('sets the plan beside it: what was meant and allowed at the heats that a stage went through', () => {
    const [candling, climbing, salting, , cooling] = facts.stages;
    expect(candling).toMatchObject({ target: { low: 28, high: 56 }, limit: { low: 28, high: 83 } });
    expect(climbing).toMatchObject({ target: { low: 28, high: 69 }, limit: { low: 83, high: 83 } });
    expect(salting).toMatchObject({ target: null, limit: null });
    // It has not come down to the plan's bands yet.
    expect(cooling?.limit).toBeNull();
    expect(factsOf(recordAt(45)).stages.at(-1)?.limit).toEqual({ low: 50, high: 50 });
  });

  it('counts salt and stokes as the log book has them, and leaves out what was undone', () => {
    expect(facts.salt.inKg).toBeCloseTo(78 * 0.292, 6);
    expect(facts.draws).toHaveLength(3);
    const undone = { ...record, log: record.log.map((row) => ({ ...row, undone: row.log === 'stoke' })) };
    expect(factsOf(undone).stokes).toEqual([]);
  });

  it('numbers what called, and leaves notes out', () => {
    expect(facts.alerts.map(({ number, alert }) => [number, alert.name])).toEqual([[1, 'stall']]);
  });

  it('tells the cones of a place once each: bending only while it is not down', () => {
    const log = [
      entry('cone-bending', { cone: '8', probe: 'front' }, 14),
      entry('cone-down', { cone: '8', probe: 'front' }, 15),
      entry('cone-bending', { cone: '10', probe: 'front' }, 16),
      entry('cone-down', { cone: '8' }, 15.5),
    ];
    expect(conesByPlace(factsOf({ ...record, log: [...record.log, ...log] }))).toMatchObject([
      {
        place: 'front',
        cones: [
          { cone: '8', down: true },
          { cone: '10', down: false },
        ],
      },
      { place: '', cones: [{ cone: '8', down: true }] },
    ]);
  });

  it('is nothing where nothing was recorded', () => {
    const curve = { at: [], kiln: [], kilnClimbCPerH: [], kilnClimbSdCPerH: [], probes: [] };
    expect(sheetFacts({ ...record, curve, log: [], stages: [] })).toBeNull();
  });

  it('lists the call for salt, which wants somebody to come', () => {
    const { alerts } = factsOf({
      ...record,
      alerts: [
        { alert: alertOf('salting-window', 'come-now', LIT_AT, 'Salting may start.'), clearedAt: null },
        { alert: alertOf('salting-soon', 'look-soon', LIT_AT, 'Soon.'), clearedAt: null },
      ],
    });
    expect(alerts.map(({ alert }) => alert.name)).toEqual(['salting-window']);
  });

  it('lists load and results by place, and their sums', () => {
    const plan = { ...defaultPlan(), load: [{ place: 'front low', shape: 'mug', clay: '', pieces: 5 }] };
    const rows = [
      { ...emptyRow('loft', 'jar', ''), good: 3, lost: 1, faults: ['dry' as const], notes: ' dry ' },
    ];
    const places = placeFacts(plan, rows);
    expect(places).toMatchObject([
      { place: 'front low', loaded: 5, yields: { counted: 0 }, remarks: [] },
      { place: 'loft', loaded: null, yields: { good: 3, lost: 1 }, remarks: ['dry'] },
    ]);
    expect(allPlaces(places)).toMatchObject({ loaded: 5, yields: { counted: 4, share: 0.75 } });
  });
});

describe('the drawing', () => {
  const frame: Frame = { from: 0, to: 100, lowC: 0, highC: 100, left: 0, right: 1000, top: 0, bottom: 300 };
  const cells = fc.array(
    fc.oneof(fc.integer({ min: 0, max: 100 }), fc.constant(null), fc.constant(undefined)),
    {
      maxLength: 60,
    },
  );

  it('draws one stroke for each unbroken stretch, and nothing over a gap', () => {
    fc.assert(
      fc.property(cells, (column) => {
        const path = linePath(
          frame,
          column.map((_, row) => row),
          column,
        );
        const told = column.filter((cell) => cell !== undefined);
        const runs = told.filter((cell, i) => cell !== null && (i === 0 || told[i - 1] === null)).length;
        expect(path.split('M').length - 1).toBe(runs);
        expect(path.split('L').length - 1).toBe(told.filter((cell) => cell !== null).length - runs);
        expect(path).not.toMatch(/NaN|Infinity|undefined/);
      }),
    );
  });

  it('shows the long cooling apart, and a short one beside the fire', () => {
    expect(stretches(factsOf(record)).whole).toBeNull();
    const long = stretches(factsOf(recordAt(70)));
    expect(long.whole?.to).toBe(LIT_AT + 70 * HOUR);
    expect(long.fire.to).toBeLessThan(LIT_AT + 22 * HOUR);
  });

  it.each([
    ['a firing', record],
    ['one that cooled for days', recordAt(70)],
    ['one that was only just lit', recordAt(0.2)],
    [
      'one whose probes gave no temperature at all',
      {
        ...record,
        curve: {
          ...record.curve,
          kiln: record.curve.kiln.map(() => null),
          probes: record.curve.probes.map(({ probe, tempC }) => ({ probe, tempC: tempC.map(() => null) })),
        },
      },
    ],
    [
      'one with a hostile name',
      { ...record, firing: { ...record.firing, name: '</svg><script>alert(1)</script>' } },
    ],
  ])('of %s is whole: no figure that is none, no colour, no style', (_, of) => {
    for (const unit of ['C', 'F'] as const) {
      const svg = curveSvg(of, unit);
      expect(svg).toMatch(/^<\?xml [^>]+>\n<svg xmlns="http:\/\/www.w3.org\/2000\/svg"[\s\S]+<\/svg>\n$/);
      expect(svg).not.toMatch(/NaN|Infinity|undefined|<script|style=/);
      const colours = svg.match(/#[0-9a-f]{3,6}/g) ?? [];
      expect(colours.filter((colour) => !/^#(.)\1\1$|^#(..)\2\2$/.test(colour))).toEqual([]);
    }
  });

  it('names a stage within its own band or not at all, upright where it is narrow', () => {
    const svg = curveSvg(record, 'C');
    const words = [...svg.matchAll(/<text ([^>]*)>([^<]+)<\/text>/g)].map(([, places = '', text = '']) => ({
      places,
      text,
    }));
    const bands = [...svg.matchAll(/<path d="M([\d.]+) (?:26|30)V352"/g)].map(([, left]) => Number(left));
    const ends = [92, ...bands, 905];
    const named = words.flatMap(({ places, text }) => {
      const x = /^x="([\d.]+)" y="21"/.exec(places)?.[1];
      const upright = /translate\(([\d.]+) /.exec(places)?.[1];
      if (x === undefined && upright === undefined) return [];
      const left = Number(x ?? upright);
      // About as wide as its letters are; upright as wide as one is high.
      return [{ text, left, right: left + (x === undefined ? 0 : text.length * 15 * 0.53) }];
    });
    expect(named.map(({ text }) => text)).toEqual(['candling', 'climbing', 'salting', 'soaking', 'cooling']);
    for (const { left, right } of named) {
      expect(ends.findLastIndex((end) => end <= left)).toBe(ends.findLastIndex((end) => end <= right));
    }
  });

  it('has rings and cones in rows of their own', () => {
    const log = [entry('draw', { thickness: 'good' }, 16), entry('cone-down', { cone: '9' }, 16)];
    const svg = curveSvg({ ...record, log }, 'C');
    const ringY = Number(/<circle [^>]*cy="([\d.]+)"/.exec(svg)?.[1]);
    const coneY = Number(/d="M[\d.]+ ([\d.]+)l5.5 13h-11z"/.exec(svg)?.[1]);
    expect(coneY - ringY).toBeGreaterThan(5);
  });

  it('breaks its lines where the story has no reading', () => {
    const thick = /stroke-width="2.4"/;
    const line = curveSvg(record, 'C')
      .split('<path ')
      .find((path) => thick.test(path));
    expect(line?.match(/M/g)).toHaveLength(2);
  });
});

describe('where the sheet is found', () => {
  it.each([
    [undefined, 'F', 'letter'],
    [undefined, 'C', 'a4'],
    ['a4', 'F', 'a4'],
    ['a5', 'C', 'a4'],
  ] as const)('paper %s with °%s is %s', (asked, unit, paper) => {
    expect(paperOf(asked, unit)).toBe(paper);
  });

  it('names paper and unit in its address', () => {
    const parts = sheetAddress('2031 ü', 'letter', 'F').split('/').map(decodeURIComponent);
    expect(parts).toEqual(['#', 'past', '2031 ü', 'sheet', 'letter', 'f']);
    expect([unitOf('f', 'C'), unitOf('c', 'F'), unitOf(undefined, 'F'), unitOf('k', 'C')]).toEqual([
      'F',
      'C',
      'F',
      'C',
    ]);
  });
});
