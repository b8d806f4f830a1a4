/** Alerts of the salting. Start at 2200 °F and 50 lb of salt: common practice, no source; delays and bands: our own choice. */
import { describe, expect, it } from 'vitest';
import { drawDue, saltingSoon, saltingWindow, saltPause } from '../../alerts/rules/salting.ts';
import { STAGES } from '../../protocol/stages.ts';
import { MINUTE_MS, type Shown, START_MS, turns, watch } from '../support/kiln.ts';

const START_C = 1204.4;
const GONE: Shown['kiln'] = { smoothC: null, climbCPerH: null, climbSdCPerH: null };
type Spans = { forS: number; shown: Shown }[];

/** A kiln at this heat, holding well. */
const at = (smoothC: number | null, rest: Shown = {}): Shown => ({
  ...rest,
  kiln: { smoothC, climbCPerH: 20, coneValue: 9, ...rest.kiln },
});
const salting = (smoothC: number | null, rest: Shown = {}): Shown =>
  at(smoothC, { stage: 'salting', salt: { startedAt: START_MS, lastAt: START_MS, inKg: 2 }, ...rest });

describe('salting-window', () => {
  it.each<{ what: string; shown: Shown; raised: boolean }>([
    { what: 'opens at the start', shown: at(START_C), raised: true },
    { what: 'not a tenth below it', shown: at(START_C - 0.1), raised: false },
    {
      what: 'not while the kiln falls by 11 °C/h',
      shown: at(1210, { kiln: { climbCPerH: -11 } }),
      raised: false,
    },
    { what: 'but when it falls by less', shown: at(1210, { kiln: { climbCPerH: -10.9 } }), raised: true },
    { what: 'not while no climb is known', shown: at(1210, { kiln: { climbCPerH: null } }), raised: false },
    { what: 'not over the top', shown: at(1280.1), raised: false },
    { what: 'at the top', shown: at(1280), raised: true },
    { what: 'by the plan', shown: at(1150, { plan: { saltingStartC: 1150 } }), raised: true },
    {
      what: 'by the cone alone',
      shown: at(1150, { plan: { saltingStartC: null, saltingStartCone: '9' } }),
      raised: true,
    },
    {
      what: 'not before the cone',
      shown: at(1250, { plan: { saltingStartC: null, saltingStartCone: '9' }, kiln: { coneValue: 8.9 } }),
      raised: false,
    },
    {
      what: 'not where no cone is known',
      shown: at(1250, { plan: { saltingStartC: null, saltingStartCone: '9' }, kiln: { coneValue: null } }),
      raised: false,
    },
    {
      what: 'by both: the heat is missing',
      shown: at(1200, { plan: { saltingStartCone: '9' } }),
      raised: false,
    },
    {
      what: 'by both: the cone is missing',
      shown: at(1210, { plan: { saltingStartCone: '9' }, kiln: { coneValue: 8 } }),
      raised: false,
    },
    { what: 'by both', shown: at(1210, { plan: { saltingStartCone: '9' } }), raised: true },
    {
      what: 'never by a cone that the chart does not have',
      shown: at(1270, { plan: { saltingStartC: null, saltingStartCone: 'nine' } }),
      raised: false,
    },
    {
      what: 'by the heat where the cone is none',
      shown: at(1210, { plan: { saltingStartCone: 'nine' } }),
      raised: true,
    },
    {
      what: 'never in a plan that gives no start',
      shown: at(1270, { plan: { saltingStartC: null } }),
      raised: false,
    },
    { what: 'not with no couple left', shown: at(1210, { noCoupleLeft: true }), raised: false },
    {
      what: 'not with enough salt in',
      shown: salting(1210, { salt: { startedAt: START_MS, lastAt: START_MS, inKg: 22.7 } }),
      raised: false,
    },
    {
      what: 'nor after the end of salting',
      shown: salting(1210, { salt: { startedAt: START_MS, inKg: 1, ended: true } }),
      raised: false,
    },
  ])('$what: $raised', ({ shown, raised }) => {
    expect(turns(watch(saltingWindow, [{ forS: 300, shown }]))).toEqual(raised ? ['120 raised'] : []);
  });

  it.each(STAGES.map((stage) => ({ stage, raised: ['climbing', 'hold', 'salting'].includes(stage) })))(
    'in $stage: $raised',
    ({ stage, raised }) => {
      expect(turns(watch(saltingWindow, [{ forS: 300, shown: at(1210, { stage }) }]))).toEqual(
        raised ? ['120 raised'] : [],
      );
    },
  );

  const opened = { forS: 200, shown: salting(1210) };
  it.each<{ what: string; spans: Spans; told: string[] }>([
    {
      what: '22 °C below the start for 10 min',
      spans: [opened, { forS: 900, shown: salting(START_C - 22.1) }],
      told: ['120 raised', '800 cleared'],
    },
    {
      what: 'not after less',
      spans: [opened, { forS: 599, shown: salting(1180) }, { forS: 300, shown: salting(1210) }],
      told: ['120 raised'],
    },
    {
      what: 'not 22 °C below alone',
      spans: [opened, { forS: 1200, shown: salting(START_C - 22) }],
      told: ['120 raised'],
    },
    {
      what: 'over the top, at once',
      spans: [opened, { forS: 300, shown: salting(1281) }],
      told: ['120 raised', '200 cleared'],
    },
    {
      what: 'at enough salt, at once',
      spans: [opened, { forS: 300, shown: salting(1210, { salt: { startedAt: START_MS, inKg: 22.7 } }) }],
      told: ['120 raised', '200 cleared'],
    },
    {
      what: 'at clam-up, at once',
      spans: [opened, { forS: 300, shown: at(1210, { stage: 'cooling' }) }],
      told: ['120 raised', '200 cleared'],
    },
    {
      what: 'not by a link with hiccups: the 10 min wait',
      spans: [
        opened,
        { forS: 300, shown: salting(1180) },
        { forS: 900, shown: salting(null, { kiln: GONE }) },
        { forS: 301, shown: salting(1180) },
      ],
      told: ['120 raised', '1700 cleared'],
    },
    {
      what: 'not while it falls a little',
      spans: [opened, { forS: 900, shown: salting(1195, { kiln: { climbCPerH: -40 } }) }],
      told: ['120 raised'],
    },
  ])('closes $what', ({ spans, told }) => {
    expect(turns(watch(saltingWindow, spans))).toEqual(told);
  });

  it('says what to do, with the cautions, and why it is closed', () => {
    const text = (shown: Shown) =>
      watch(saltingWindow, [opened, { forS: 900, shown }]).map((change) => change.text);
    const [raised, cleared] = text(salting(1281));
    expect(raised).toBe(
      'Hot enough for salt: 2210 °F (1210 °C). Small charges, both holes in turn. Stay upwind of the fume, and never alone.',
    );
    expect(cleared).toBe("Hotter than the plan's top, 2336 °F (1280 °C): no salt now.");
    expect(text(salting(1180))[1]).toBe('Too cold for salt: 2156 °F (1180 °C).');
    expect(text(salting(1210, { salt: { startedAt: START_MS, inKg: 23 } }))[1]).toBe('Enough salt is in.');
    expect(text(at(1210, { stage: 'cooling' }))[1]).toBe('The kiln is closed and cools.');
  });
});

describe('salting-soon', () => {
  const ahead = (minutes: number | null, rest: Shown = {}): Shown =>
    at(1190, { toSaltingMs: minutes === null ? null : minutes * MINUTE_MS, ...rest });

  it.each<{ what: string; spans: Spans; told: string[] }>([
    {
      what: 'is raised 30 min ahead, when it is so for 2 min',
      spans: [
        { forS: 60, shown: ahead(31) },
        { forS: 200, shown: ahead(30) },
      ],
      told: ['180 raised'],
    },
    {
      what: 'stands until the window opens, 2 min after the heat is reached',
      spans: [
        { forS: 200, shown: ahead(20) },
        { forS: 100, shown: at(START_C, { toSaltingMs: 0 }) },
        { forS: 20, shown: at(START_C - 1, { toSaltingMs: MINUTE_MS }) },
        { forS: 200, shown: at(START_C, { toSaltingMs: 0 }) },
      ],
      told: ['120 raised', '440 cleared'],
    },
    {
      what: 'ends at once at the first salt',
      spans: [
        { forS: 200, shown: ahead(20) },
        { forS: 100, shown: salting(1195) },
      ],
      told: ['120 raised', '200 cleared'],
    },
    {
      what: 'stays while it is within 55 min',
      spans: [
        { forS: 200, shown: ahead(20) },
        { forS: 1200, shown: ahead(55) },
      ],
      told: ['120 raised'],
    },
    {
      what: 'is taken back 10 min after it is further off',
      spans: [
        { forS: 200, shown: ahead(20) },
        { forS: 700, shown: ahead(56) },
      ],
      told: ['120 raised', '800 cleared'],
    },
    {
      what: 'is taken back where the kiln climbs no more',
      spans: [
        { forS: 200, shown: ahead(20) },
        { forS: 700, shown: ahead(null, { kiln: { climbCPerH: 0 } }) },
      ],
      told: ['120 raised', '800 cleared'],
    },
    {
      what: 'stays in a hold',
      spans: [
        { forS: 200, shown: ahead(20) },
        { forS: 1200, shown: ahead(null, { stage: 'hold' }) },
      ],
      told: ['120 raised'],
    },
    {
      what: 'stays while nothing is known',
      spans: [
        { forS: 200, shown: ahead(20) },
        { forS: 1200, shown: at(null, { kiln: GONE }) },
      ],
      told: ['120 raised'],
    },
    {
      what: 'is not raised in candling',
      spans: [{ forS: 300, shown: ahead(20, { stage: 'candling' }) }],
      told: [],
    },
    {
      what: 'is not raised in salting',
      spans: [{ forS: 300, shown: salting(1190, { toSaltingMs: MINUTE_MS }) }],
      told: [],
    },
    {
      what: 'is not raised with no couple left',
      spans: [{ forS: 300, shown: ahead(20, { noCoupleLeft: true }) }],
      told: [],
    },
  ])('$what', ({ spans, told }) => {
    expect(turns(watch(saltingSoon, spans))).toEqual(told);
  });

  it('says when, and what to have ready', () => {
    const [raised] = watch(saltingSoon, [{ forS: 200, shown: ahead(28) }]);
    expect(raised?.text).toBe(
      'Salting heat in about 28 minutes. Have dry, weighed salt, draw rings, masks and gloves ready.',
    );
  });
});

describe('salt-pause', () => {
  it.each<{ what: string; spans: Spans; told: string[] }>([
    {
      what: '11 °C below the start for 3 min',
      spans: [{ forS: 300, shown: salting(START_C - 11.1) }],
      told: ['180 raised'],
    },
    {
      what: 'not for less',
      spans: [
        { forS: 180, shown: salting(1190) },
        { forS: 300, shown: salting(1200) },
      ],
      told: [],
    },
    { what: 'not 11 °C below alone', spans: [{ forS: 600, shown: salting(START_C - 11) }], told: [] },
    {
      what: 'cleared 3 °C below the start, at once',
      spans: [
        { forS: 200, shown: salting(1190) },
        { forS: 100, shown: salting(START_C - 3) },
      ],
      told: ['180 raised', '200 cleared'],
    },
    {
      what: 'stays up between',
      spans: [
        { forS: 200, shown: salting(1190) },
        { forS: 900, shown: salting(START_C - 3.1) },
      ],
      told: ['180 raised'],
    },
    { what: 'not before salt goes in', spans: [{ forS: 600, shown: at(1190) }], told: [] },
    {
      what: 'ends with the salting',
      spans: [
        { forS: 200, shown: salting(1190) },
        { forS: 100, shown: at(1190, { stage: 'soak' }) },
      ],
      told: ['180 raised', '200 cleared'],
    },
    {
      what: 'not with enough salt in',
      spans: [{ forS: 600, shown: salting(1190, { salt: { startedAt: START_MS, inKg: 22.7 } }) }],
      told: [],
    },
    {
      what: 'not with no couple left',
      spans: [{ forS: 600, shown: salting(1190, { noCoupleLeft: true }) }],
      told: [],
    },
    {
      what: 'not where the plan gives a cone only',
      spans: [{ forS: 600, shown: salting(1100, { plan: { saltingStartC: null, saltingStartCone: '9' } }) }],
      told: [],
    },
  ])('$what', ({ spans, told }) => {
    expect(turns(watch(saltPause, spans))).toEqual(told);
  });

  it('says what to wait for, and when to go on', () => {
    const changes = watch(saltPause, [
      { forS: 200, shown: salting(1190) },
      { forS: 10, shown: salting(1203) },
    ]);
    expect(changes.map(({ text }) => text)).toEqual([
      'Too cold for salt: 2174 °F (1190 °C). Stoke, wait, and salt again near 2200 °F (1204 °C).',
      'The heat is back: 2197 °F (1203 °C). Go on salting.',
    ]);
  });
});

describe('draw-due', () => {
  const salted = (inKg: number, draws: number, rest: Shown = {}): Shown =>
    salting(1210, { salt: { startedAt: START_MS, inKg }, draws, plan: { saltKg: 20 }, ...rest });

  // First ring after the first salting, enough at ring 3, one before the end (ronphilbeckpottery.com): at each quarter.
  it.each([
    { inKg: 4.99, draws: 0, due: false },
    { inKg: 5, draws: 0, due: true },
    { inKg: 5, draws: 1, due: false },
    { inKg: 9.99, draws: 1, due: false },
    { inKg: 10, draws: 1, due: true },
    { inKg: 15, draws: 2, due: true },
    { inKg: 15, draws: 3, due: false },
    { inKg: 20, draws: 3, due: true },
    { inKg: 30, draws: 4, due: false },
    { inKg: 12, draws: 0, due: true },
  ])('with $inKg of 20 kg in and $draws pulled: $due', ({ inKg, draws, due }) => {
    expect(turns(watch(drawDue, [{ forS: 5, shown: salted(inKg, draws) }]))).toEqual(due ? ['0 raised'] : []);
  });

  it.each<{ what: string; spans: Spans; told: string[] }>([
    {
      what: 'is cleared by a draw',
      spans: [
        { forS: 60, shown: salted(5, 0) },
        { forS: 60, shown: salted(5, 1) },
      ],
      told: ['0 raised', '60 cleared'],
    },
    {
      what: 'comes again at the next quarter',
      spans: [
        { forS: 300, shown: salted(5, 0) },
        { forS: 300, shown: salted(6, 1) },
        { forS: 300, shown: salted(10, 1) },
      ],
      told: ['0 raised', '300 cleared', '600 raised'],
    },
    {
      what: 'stays up in soak',
      spans: [
        { forS: 60, shown: salted(20, 3) },
        { forS: 60, shown: salted(20, 3, { stage: 'soak' }) },
      ],
      told: ['0 raised'],
    },
    {
      what: 'ends when the kiln is closed',
      spans: [
        { forS: 60, shown: salted(20, 3) },
        { forS: 60, shown: salted(20, 3, { stage: 'cooling' }) },
      ],
      told: ['0 raised', '60 cleared'],
    },
    {
      what: 'goes on with no couple left: salt is counted, not measured',
      spans: [{ forS: 60, shown: salted(5, 0, { noCoupleLeft: true, kiln: GONE }) }],
      told: ['0 raised'],
    },
    {
      what: 'is never in a plan with no salt',
      spans: [{ forS: 60, shown: salted(1, 0, { plan: { saltKg: 0 } }) }],
      told: [],
    },
  ])('$what', ({ spans, told }) => {
    expect(turns(watch(drawDue, spans))).toEqual(told);
  });

  it('counts grams that add up to a quarter, whatever the last digit', () => {
    // Ten times 0.1 is a little less than 1.
    const inKg = Array.from({ length: 10 }).reduce<number>((sum) => sum + 0.1, 0);
    expect(inKg).not.toBe(1);
    expect(turns(watch(drawDue, [{ forS: 1, shown: salted(inKg, 0, { plan: { saltKg: 4 } }) }]))).toEqual([
      '0 raised',
    ]);
  });

  it('says which, and how much salt is in; and why it is over', () => {
    const shown = salted(5.7, 0, { plan: { saltKg: 22.7 } });
    const [raised, cleared] = watch(drawDue, [
      { forS: 5, shown },
      { forS: 5, shown: { ...shown, draws: 1 } },
    ]);
    // 22.7 kg are 50.04 lb (0.45359237 kg, NIST Handbook 44).
    expect(raised?.text).toBe(
      'Draw ring 1 is due: 12.6 of 50 lb (5.7 of 22.7 kg) of salt is in. Gloves and dark glasses on.',
    );
    expect(cleared?.text).toBe('The draw ring is out.');
    const closed = watch(drawDue, [
      { forS: 5, shown },
      { forS: 5, shown: { ...shown, stage: 'cooling' } },
    ]);
    expect(closed[1]?.text).toBe('The kiln is closed and cools.');
  });
});
