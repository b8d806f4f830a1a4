/** Alerts of the climb: stall, falling, too fast upward, too fast in cooling. Figures: see each; the delays are our own choice. */
import { describe, expect, it } from 'vitest';
import { climbTooFast, coolingTooFast } from '../../alerts/rules/climb.ts';
import { falling, stall } from '../../alerts/rules/stall.ts';
import type { Stage } from '../../protocol/stages.ts';
import { STAGES } from '../../protocol/stages.ts';
import { type Shown, turns, watch } from '../support/kiln.ts';

/** A kiln at this heat and climb, with the deviation that the track has in steady firing. */
const climbs = (climbCPerH: number | null, rest: Shown = {}): Shown => ({
  ...rest,
  kiln: { climbCPerH, climbSdCPerH: 20, ...rest.kiln },
});
/** 0.35 deviations of 20 °C/h: what chance and the sawtooth explain. */
const SURE = 7;

const WELL = climbs(60);
const GONE: Shown = { kiln: { smoothC: null, climbCPerH: null, climbSdCPerH: null } };

describe('stall', () => {
  // 11 °C/h is 20 °F/h: our own choice.
  it.each([
    { climb: 11 - SURE - 0.1, raised: true },
    { climb: 11 - SURE, raised: false },
    { climb: 11, raised: false },
    { climb: -80, raised: true },
  ])('at $climb °C/h is raised: $raised', ({ climb, raised }) => {
    expect(turns(watch(stall, [{ forS: 600, shown: climbs(climb) }]))).toEqual(raised ? ['120 raised'] : []);
  });

  it.each([
    { what: 'a hold that ended 24 min ago', shown: { sinceHoldMs: 24 * 60_000 }, raised: false },
    { what: 'a hold that ended 25 min ago', shown: { sinceHoldMs: 25 * 60_000 }, raised: true },
    {
      what: 'heat just below the start, once reached',
      shown: { hotForMs: 120_000, kiln: { smoothC: 1190 } },
      raised: false,
    },
    { what: 'heat just below the start, never reached', shown: { kiln: { smoothC: 1190 } }, raised: true },
    // The default of the plan: the window closes 22 °C below its start of 1204.4 °C.
    { what: 'heat below the window', shown: { hotForMs: 120_000, kiln: { smoothC: 1182 } }, raised: true },
  ])('with $what is raised: $raised', ({ shown, raised }) => {
    const told = turns(watch(stall, [{ forS: 130, shown: climbs(0, shown) }]));
    expect(told).toEqual(raised ? ['120 raised'] : []);
  });

  // Salting takes about an hour (common practice, no source); 45 min of it is our own choice.
  it.each([
    { hotForMin: 44, raised: true },
    { hotForMin: 45, raised: false },
  ])(
    'after $hotForMin min at salting heat with nothing logged is raised: $raised',
    ({ hotForMin, raised }) => {
      const closing = climbs(-100, { hotForMs: hotForMin * 60_000, kiln: { smoothC: 1150 } });
      expect(turns(watch(stall, [{ forS: 600, shown: closing }]))).toEqual(raised ? ['120 raised'] : []);
      expect(turns(watch(falling, [{ forS: 600, shown: closing }]))).toEqual(raised ? ['120 raised'] : []);
    },
  );

  it('goes by the plan', () => {
    expect(turns(watch(stall, [{ forS: 600, shown: climbs(15, { plan: { stallCPerH: 30 } }) }]))).toEqual([
      '120 raised',
    ]);
  });

  it.each<{ what: string; spans: { forS: number; shown: Shown }[]; told: string[] }>([
    {
      what: 'is raised after 2 min, not before',
      spans: [
        { forS: 60, shown: WELL },
        { forS: 120, shown: climbs(0) },
        { forS: 60, shown: WELL },
      ],
      told: [],
    },
    {
      what: 'is cleared when it has climbed for 3 min',
      spans: [
        { forS: 200, shown: climbs(0) },
        { forS: 300, shown: WELL },
      ],
      told: ['120 raised', '380 cleared'],
    },
    {
      what: 'stays up in the dead band: up to 5 °C/h over the figure, and a quarter deviation',
      spans: [
        { forS: 200, shown: climbs(0) },
        { forS: 900, shown: climbs(11 + 5 + 5) },
        { forS: 300, shown: climbs(11 + 5 + 5.1) },
      ],
      told: ['120 raised', '1280 cleared'],
    },
    {
      what: 'waits while nothing is known',
      spans: [
        { forS: 100, shown: climbs(0) },
        { forS: 600, shown: GONE },
        { forS: 100, shown: climbs(0) },
      ],
      told: ['720 raised'],
    },
    {
      what: 'is cleared when salt goes in',
      spans: [
        { forS: 200, shown: climbs(0) },
        { forS: 300, shown: climbs(0, { stage: 'salting' }) },
      ],
      told: ['120 raised', '380 cleared'],
    },
  ])('$what', ({ spans, told }) => {
    expect(turns(watch(stall, spans))).toEqual(told);
  });

  it.each(
    STAGES.map((stage): { stage: Stage; raised: boolean } => ({ stage, raised: stage === 'climbing' })),
  )('in $stage: $raised', ({ stage, raised }) => {
    for (const rule of [stall, falling])
      expect(turns(watch(rule, [{ forS: 300, shown: climbs(-60, { stage }) }]))).toEqual(
        raised ? ['120 raised'] : [],
      );
  });

  it.each<{ what: string; shown: Shown; raised: boolean }>([
    { what: 'at salting heat a kiln is held', shown: { kiln: { smoothC: 1204.4 } }, raised: false },
    { what: 'a little below it is not', shown: { kiln: { smoothC: 1204.3 } }, raised: true },
    {
      what: 'at the cone that salting starts at',
      shown: { plan: { saltingStartC: null, saltingStartCone: '6' }, kiln: { coneValue: 6 } },
      raised: false,
    },
    {
      what: 'below that cone',
      shown: { plan: { saltingStartC: null, saltingStartCone: '6' }, kiln: { coneValue: 5.9 } },
      raised: true,
    },
    {
      what: 'in a plan with no salt',
      shown: { plan: { saltingStartC: null }, kiln: { smoothC: 1260 } },
      raised: true,
    },
    { what: 'with no couple left', shown: { noCoupleLeft: true }, raised: false },
  ])('$what: $raised', ({ shown, raised }) => {
    expect(turns(watch(stall, [{ forS: 300, shown: climbs(0, shown) }]))).toEqual(
      raised ? ['120 raised'] : [],
    );
  });

  // Causes by heat: common practice, no source.
  it.each([
    {
      smoothC: 450,
      climb: 3,
      says: /^The kiln stands still: up 5 °F \(3 °C\) an hour\. .*[Ww]et or thick wood/,
    },
    { smoothC: 900, climb: -4, says: /^The kiln stands still: down 7 °F \(4 °C\) an hour\. .*embers/ },
    {
      smoothC: 1180,
      climb: -40,
      says: /^The kiln does not climb: down 72 °F \(40 °C\) an hour\. .*too much wood/,
    },
  ])('says at $smoothC °C what it usually is', ({ smoothC, climb, says }) => {
    const [raised] = watch(stall, [{ forS: 200, shown: climbs(climb, { kiln: { smoothC } }) }]);
    expect(raised?.text).toMatch(says);
  });

  it('says why it is cleared', () => {
    const clearedBy = (shown: Shown) =>
      watch(stall, [
        { forS: 200, shown: climbs(0) },
        { forS: 300, shown },
      ])[1]?.text;
    expect(clearedBy(WELL)).toBe('It climbs again.');
    expect(clearedBy(climbs(0, { stage: 'cooling' }))).toBe('The kiln is closed and cools.');
    expect(clearedBy(climbs(0, { kiln: { smoothC: 1210 } }))).toBe('Salting heat is reached.');
    expect(clearedBy({ ...GONE, noCoupleLeft: true })).toBe('No couple in the kiln: go by cones and draws.');
  });
});

describe('falling', () => {
  it.each([
    { climb: -11 - SURE - 0.1, raised: true },
    { climb: -11 - SURE, raised: false },
    { climb: 0, raised: false },
  ])('at $climb °C/h is raised: $raised', ({ climb, raised }) => {
    expect(turns(watch(falling, [{ forS: 600, shown: climbs(climb) }]))).toEqual(
      raised ? ['120 raised'] : [],
    );
  });

  it('is a stall too: that is raised at the same time and stays up beneath it', () => {
    const spans = [
      { forS: 300, shown: WELL },
      { forS: 600, shown: climbs(-40) },
      { forS: 300, shown: climbs(3) },
      { forS: 300, shown: WELL },
    ];
    expect(turns(watch(falling, spans))).toEqual(['420 raised', '1080 cleared']);
    expect(turns(watch(stall, spans))).toEqual(['420 raised', '1380 cleared']);
  });

  it('asks whether somebody stokes, and for the clam-up', () => {
    const [raised] = watch(falling, [{ forS: 200, shown: climbs(-40) }]);
    expect(raised?.text).toBe(
      'The kiln loses heat: down 72 °F (40 °C) an hour. Is somebody stoking? If it was closed on purpose, log the clam-up.',
    );
  });
});

describe('climb-too-fast', () => {
  // 50 °F/h at the start (evafunderburgh.com), 100 to 150 °F/h after it (whistlecreek.blogspot); the delay is our own choice.
  it.each([
    { smoothC: 60, climb: 28 + SURE + 0.1, raised: true },
    { smoothC: 60, climb: 28 + SURE, raised: false },
    { smoothC: 119.9, climb: 40, raised: true },
    { smoothC: 120, climb: 40, raised: false },
    { smoothC: 120, climb: 83 + SURE + 0.1, raised: true },
    { smoothC: 649.9, climb: 83 + SURE + 0.1, raised: true },
    { smoothC: 650, climb: 200, raised: false },
  ])('at $smoothC °C and $climb °C/h is raised: $raised', ({ smoothC, climb, raised }) => {
    const shown = climbs(climb, { stage: 'candling', kiln: { smoothC } });
    expect(turns(watch(climbTooFast, [{ forS: 600, shown }]))).toEqual(raised ? ['180 raised'] : []);
  });

  it('takes the limits in whatever order the plan has them', () => {
    const climbLimits = [
      { toC: 650, maxCPerH: 83 },
      { toC: 120, maxCPerH: 28 },
    ];
    const shown = climbs(50, { plan: { climbLimits }, kiln: { smoothC: 60 } });
    expect(turns(watch(climbTooFast, [{ forS: 600, shown }]))).toEqual(['180 raised']);
  });

  const at = (climb: number): Shown => climbs(climb, { kiln: { smoothC: 80 } });
  it.each<{ what: string; spans: { forS: number; shown: Shown }[]; told: string[] }>([
    {
      what: 'is cleared 5 min after it is a tenth below the limit',
      spans: [
        { forS: 200, shown: at(50) },
        { forS: 400, shown: at(25.1) },
      ],
      told: ['180 raised', '500 cleared'],
    },
    {
      what: 'stays up in the dead band',
      spans: [
        { forS: 200, shown: at(50) },
        { forS: 900, shown: at(25.3) },
      ],
      told: ['180 raised'],
    },
    {
      what: 'ends with the heat it is about',
      spans: [
        { forS: 200, shown: at(50) },
        { forS: 400, shown: climbs(83, { kiln: { smoothC: 700 } }) },
      ],
      told: ['180 raised', '500 cleared'],
    },
  ])('$what', ({ spans, told }) => {
    expect(turns(watch(climbTooFast, spans))).toEqual(told);
  });

  it.each(STAGES.map((stage) => ({ stage, raised: ['candling', 'climbing', 'hold'].includes(stage) })))(
    'in $stage: $raised',
    ({ stage, raised }) => {
      const shown = climbs(90, { stage, kiln: { smoothC: 60 } });
      expect(turns(watch(climbTooFast, [{ forS: 300, shown }]))).toEqual(raised ? ['180 raised'] : []);
    },
  );

  it('says how fast, how fast it may be, and what to do', () => {
    const [raised] = watch(climbTooFast, [{ forS: 200, shown: at(50) }]);
    expect(raised?.text).toBe(
      'Climbing 90 °F (50 °C) an hour. Below 248 °F (120 °C) keep under 50 °F (28 °C) an hour: raw ware can burst. Stoke less.',
    );
  });
});

describe('cooling-too-fast', () => {
  const cools = (cooling: number, smoothC: number, stage: Stage = 'cooling'): Shown =>
    climbs(-cooling, { stage, kiln: { smoothC } });

  // Quartz inversion 573 °C (handbook), at most 50 °C/h through it (ceramica wiki); cristobalite 226 °C (julietmacleod.com).
  it.each([
    { smoothC: 573, cooling: 50 + SURE + 0.1, raised: true },
    { smoothC: 573, cooling: 50 + SURE, raised: false },
    { smoothC: 226, cooling: 60, raised: true },
    { smoothC: 620, cooling: 60, raised: true },
    { smoothC: 520, cooling: 60, raised: true },
    { smoothC: 621, cooling: 300, raised: false },
    { smoothC: 519, cooling: 60, raised: false },
    { smoothC: 189, cooling: 60, raised: false },
  ])('at $smoothC °C and $cooling °C/h down is raised: $raised', ({ smoothC, cooling, raised }) => {
    expect(turns(watch(coolingTooFast, [{ forS: 600, shown: cools(cooling, smoothC) }]))).toEqual(
      raised ? ['180 raised'] : [],
    );
  });

  it.each<{ what: string; spans: { forS: number; shown: Shown }[]; told: string[] }>([
    {
      what: 'is cleared 10 min after it is a tenth below',
      spans: [
        { forS: 200, shown: cools(70, 600) },
        { forS: 700, shown: cools(44.9, 560) },
      ],
      told: ['180 raised', '800 cleared'],
    },
    {
      what: 'stays up in the dead band',
      spans: [
        { forS: 200, shown: cools(70, 600) },
        { forS: 1200, shown: cools(45.1, 560) },
      ],
      told: ['180 raised'],
    },
    {
      what: 'ends below the band',
      spans: [
        { forS: 200, shown: cools(70, 600) },
        { forS: 700, shown: cools(70, 500) },
      ],
      told: ['180 raised', '800 cleared'],
    },
  ])('$what', ({ spans, told }) => {
    expect(turns(watch(coolingTooFast, spans))).toEqual(told);
  });

  it.each(STAGES.map((stage) => ({ stage, raised: stage === 'cooling' })))(
    'in $stage: $raised',
    ({ stage, raised }) => {
      expect(turns(watch(coolingTooFast, [{ forS: 300, shown: cools(90, 573, stage) }]))).toEqual(
        raised ? ['180 raised'] : [],
      );
    },
  );

  it('says how fast, how fast it may be, and what to do', () => {
    const [raised] = watch(coolingTooFast, [{ forS: 200, shown: cools(70, 573) }]);
    expect(raised?.text).toBe(
      'Cooling 126 °F (70 °C) an hour. From 1148 °F (620 °C) to 968 °F (520 °C) keep under 90 °F (50 °C) an hour: pots can crack. Close the damper and stop air leaks.',
    );
  });
});
