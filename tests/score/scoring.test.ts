/** The rules of the score, on tables whose answers are plain, and the true climb against closed forms. */
import { describe, expect, it } from 'vitest';
import type { Zone } from '../../collector/demo-kiln/chamber.ts';
import { newRerun, rerunItem } from '../../collector/firing/rerun.ts';
import type { CaptureLine } from '../../protocol/capture.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import type { Stage } from '../../protocol/stages.ts';
import { trueClimbs } from '../demo-kiln/true-firing.ts';
import { bareMean } from './bare-mean.ts';
import { marksOf } from './marks.ts';
import { type Recipe, recipeOf } from './recipe.ts';
import { crossingIn, falseRaises, findStalls, mostWithin, quantile, stallsIn, windowError } from './rules.ts';
import { type Run, runFiring, type ToldMinute } from './run.ts';
import { newStokeRun } from './stokes.ts';
import { truthOf } from './truth.ts';

/** `+`: climbing well, `-`: climbing too little, `h`: a hold, `?`: climbing, climb not known; each with its minutes. */
function minutesOf(...spans: [mark: '+' | '-' | 'h' | '?', minutes: number][]) {
  return spans.flatMap(([mark, minutes]) =>
    Array.from({ length: minutes }, (): { stage: Stage; climbCPerH: number } => ({
      stage: mark === 'h' ? 'hold' : 'climbing',
      climbCPerH: mark === '+' ? 11 : mark === '?' ? Number.NaN : 10.99,
    })),
  );
}

describe('true stalls', () => {
  it.each<[string, Parameters<typeof minutesOf>, { from: number; to: number }[]]>([
    [
      '20 min are one',
      [
        ['+', 30],
        ['-', 20],
        ['+', 30],
      ],
      [{ from: 30, to: 49 }],
    ],
    [
      '19 min are none',
      [
        ['+', 30],
        ['-', 19],
        ['+', 30],
      ],
      [],
    ],
    [
      '19 min apart is one',
      [
        ['-', 30],
        ['+', 19],
        ['-', 5],
      ],
      [{ from: 0, to: 53 }],
    ],
    [
      '20 min apart is two',
      [
        ['-', 30],
        ['+', 20],
        ['-', 25],
      ],
      [
        { from: 0, to: 29 },
        { from: 50, to: 74 },
      ],
    ],
    [
      'a hold is none',
      [
        ['+', 10],
        ['h', 90],
        ['+', 10],
      ],
      [],
    ],
    [
      'a climb that is not known is none',
      [
        ['+', 10],
        ['?', 40],
        ['+', 10],
      ],
      [],
    ],
    [
      'two short lows near each other last long enough together',
      [
        ['-', 6],
        ['+', 10],
        ['-', 6],
      ],
      [{ from: 0, to: 21 }],
    ],
  ])('%s', (_, spans, stalls) => {
    expect(stallsIn(minutesOf(...spans))).toEqual(stalls);
  });
});

describe('finding stalls', () => {
  const stall = { from: 100, to: 160 };
  it.each<[string, number[], number | null, number[]]>([
    ['raised after the onset', [112], 12, []],
    ['raised before it: a negative delay', [88], -12, []],
    ['15 min before it is soon enough', [85], -15, []],
    ['before that it is false, and the stall is missed', [84], null, [84]],
    ['at its end it is found', [160], 60, []],
    ['after its end it is missed, and the alert is false', [161], null, [161]],
    ['never raised: missed', [], null, []],
    ['the first raise counts, in whatever order they come', [150, 110], 10, []],
    ['a false one is counted once within 20 min, also in steps', [10, 20, 30, 31, 52], null, [10, 31, 52]],
    ['what a true one says again within 20 min is not false', [159, 175], 59, []],
    ['beyond that it is', [159, 180], 59, [180]],
    ['a false one just before does not take the true one away', [80, 90], -10, [80]],
  ])('%s', (_, raisedAt, delayMin, falseAt) => {
    expect(findStalls([stall], raisedAt)).toEqual({ stalls: [{ stall, delayMin }], falseAt });
  });

  it('one raise can find two stalls', () => {
    const next = { from: 170, to: 200 };
    expect(findStalls([stall, next], [158]).stalls.map(({ delayMin }) => delayMin)).toEqual([58, -12]);
  });

  it('without a stall every raise is false', () => {
    expect(falseRaises([0, 21, 42], () => false)).toEqual([0, 21, 42]);
  });
});

describe('the true climb', () => {
  const minutes = Array.from({ length: 400 }, (_, i) => i);

  it('of a steady climb, and of one that quickens evenly, is the climb itself', () => {
    const climbs = trueClimbs(minutes.map((minute) => 20 + (60 * minute) / 60 + 0.001 * minute * minute));
    for (const minute of [33, 200, 366]) expect(climbs[minute]).toBeCloseTo(60 + 0.12 * minute, 9);
    expect(climbs[32]).toBeNaN();
    expect(climbs[367]).toBeNaN();
  });

  // Fourier transform of the biweight (15/16)(1 - x²)², worked out by hand: 15 ((3 - k²) sin k - 3 k cos k) / k⁵.
  it.each([9, 20, 45, 90])('of a ripple of %d min is damped as the kernel says', (periodMin) => {
    const turn = (2 * Math.PI) / periodMin;
    const climbs = trueClimbs(minutes.map((minute) => 10 * Math.sin(turn * minute)));
    const k = 32 * turn;
    const kept = (15 * ((3 - k * k) * Math.sin(k) - 3 * k * Math.cos(k))) / k ** 5;
    // The difference over two minutes takes sin(turn) for turn.
    for (const minute of [100, 107, 211])
      expect(climbs[minute]).toBeCloseTo(10 * kept * Math.sin(turn) * Math.cos(turn * minute) * 60, 1);
  });

  // Integral of the biweight: 1/2 + (15/16)(x - 2x³/3 + x⁵/5).
  it('of a kiln that stops climbing at once goes down as the kernel takes the standing in', () => {
    const climbs = trueClimbs(minutes.map((minute) => (80 * Math.min(minute, 200)) / 60));
    for (const minute of [170, 190, 200, 210, 230]) {
      const x = (minute - 200) / 32;
      const stopped = 0.5 + (15 / 16) * (x - (2 * x ** 3) / 3 + x ** 5 / 5);
      expect(climbs[minute]).toBeCloseTo(80 * (1 - stopped), 1);
    }
    const [stall] = stallsIn(climbs.slice(0, 367).map((climbCPerH) => ({ stage: 'climbing', climbCPerH })));
    // 80 (1 - F) = 11 at x = 0.440, 14.1 min after the climb stopped.
    expect(stall?.from).toBe(215);
  });

  it('makes no step where a probe fails: the others speak from then on', () => {
    const probe = (zone: Zone) => ({
      spec: { name: zone, couple: 'K', form: { kind: 'deg' } } as const,
      zone,
      noiseC: 1,
    });
    const recipe: Recipe = recipeOf(3);
    const run: Run = {
      recipe: {
        ...recipe,
        saltingStartC: 500,
        board: {
          ...recipe.board,
          probes: [probe('front-low'), probe('back-high')],
          mishaps: [{ what: 'opens', probe: 'front-low', from: { hour: 2 }, minutes: 10 }],
        },
      },
      trueMinutes: minutes.map((minute) => ({
        placeC: { 'front-low': 300 + minute / 2, 'front-high': 0, 'back-low': 0, 'back-high': 100 + minute },
        stage: 'climbing',
      })),
      told: [],
      alerts: [],
      calledAgain: [],
      forecasts: [],
      startMs: 0,
      litS: 0,
      closedS: null,
      closed: null,
      mishapsS: [190 * 60],
      stoking: newStokeRun(),
    };
    const truth = truthOf(run);
    for (const minute of [100, 199]) expect(truth.minutes[minute]?.climbCPerH).toBeCloseTo(45, 9);
    for (const minute of [200, 300]) expect(truth.minutes[minute]?.climbCPerH).toBeCloseTo(60, 9);
    expect(truth.minutes[199]?.meanC).toBeCloseTo(349.25, 9);
    expect(truth.minutes[200]?.meanC).toBe(300);
    expect(truth.crossingAt).toBe(null);
  });
});

describe('the crossing of the salting start', () => {
  const ramp = (climbCPerMin: number, fromC: number) =>
    Array.from({ length: 200 }, (_, i) => ({
      meanC: fromC + climbCPerMin * i,
      climbCPerH: climbCPerMin * 60,
    }));

  it.each<[string, { meanC: number; climbCPerH: number }[], number | null]>([
    ['is where a steady climb reaches it', ramp(1, 1100), 104],
    ['comes in the first minute whose mean is known, if the kiln is hot already', ramp(0, 1300), 10],
    ['is none below it', ramp(0.1, 1100), null],
    ['is none in a kiln that loses heat', ramp(-0.2, 1300), null],
    [
      'is none where only single minutes reach it',
      ramp(0, 1200).map((m, i) => ({ ...m, meanC: i % 2 ? 1206 : 1201 })),
      null,
    ],
  ])('%s', (_, minutes, at) => {
    expect(crossingIn(minutes, 1204)).toBe(at);
  });

  it.each<[number[], ReturnType<typeof windowError>]>([
    [[503], { errorMin: 3 }],
    [[460, 530], { errorMin: -40 }],
    [[430, 530], { errorMin: 30 }],
    [[440], { errorMin: -60 }],
    [[561], 'missed'],
    [[], 'missed'],
  ])('a window raised at %j is off by %j from 500', (raisedAt, error) => {
    expect(windowError(500, raisedAt)).toEqual(error);
  });
});

describe('counts', () => {
  it.each<[number[], number]>([
    [[], 0],
    [[5], 1],
    [[0, 9.9, 10, 11], 3],
    [[30, 1, 40, 2], 2],
  ])('the most of %j in any 10 min', (raisedAt, most) => {
    expect(mostWithin(raisedAt, 10)).toBe(most);
  });

  // Linear between ranks (definition 7 of Hyndman and Fan, The American Statistician 50, 1996; from memory).
  it.each([
    [[3, 1, 2], 0.5, 2],
    [[4, 1, 2, 3], 0.5, 2.5],
    [[0, 10], 0.9, 9],
    [[7], 0.9, 7],
  ])('quantile of %j at %d', (values, part, value) => {
    expect(quantile(values, part)).toBeCloseTo(value, 12);
  });
});

describe('the bare mean', () => {
  const told = (rawC: number): ToldMinute => ({
    stage: 'climbing',
    climbCPerH: null,
    climbSdCPerH: null,
    rawC,
  });

  it('knows a steady climb, and how long it is to the start', () => {
    const { climbs, toSaltingMin, stallRaisedAt, windowRaisedAt } = bareMean(
      Array.from({ length: 140 }, (_, i) => told(1100 + i)),
      1204,
    );
    expect(climbs[8]).toBe(null);
    expect(climbs[60]).toBeCloseTo(60, 9);
    // Its mean lags two minutes.
    expect(toSaltingMin[60]).toBeCloseTo(104 - 58, 9);
    expect(stallRaisedAt).toEqual([]);
    expect(windowRaisedAt).toEqual([109]);
  });

  it('takes a standing kiln for a stall within some minutes', () => {
    const { stallRaisedAt } = bareMean(
      Array.from({ length: 140 }, (_, i) => told(600 + Math.min(i, 70))),
      1204,
    );
    expect(stallRaisedAt).toEqual([80]);
  });
});

describe('the sets of firings', () => {
  it('log in half of them, have a probe mishap in a third, and are the same every time', () => {
    const recipes = Array.from({ length: 48 }, (_, i) => recipeOf(i + 1));
    expect(recipes.filter(({ plan }) => plan !== null)).toHaveLength(24);
    expect(recipes.filter(({ board }) => (board.mishaps ?? []).length > 0)).toHaveLength(16);
    expect(recipes.map(({ words }) => words)).toEqual(recipes.map(({ seed }) => recipeOf(seed).words));
    expect(new Set(recipes.map(({ words }) => words)).size).toBe(48);
    const count = (of: (recipe: Recipe) => unknown) => new Set(recipes.map(of)).size;
    expect(count(({ board }) => board.periodMs)).toBe(5);
    expect(count(({ board }) => board.probes.length)).toBe(4);
    expect(count(({ board }) => (board.troubles ?? []).length)).toBe(5);
  });

  it('write the plan down first where anything is logged', () => {
    for (let seed = 1; seed <= 12; seed += 1) {
      const { plan, wire } = recipeOf(seed);
      const planEntry = { log: 'plan', ...(plan ?? defaultPlan()) } as const;
      expect(wire.writesDown(planEntry), `seed ${seed}`).toBe(plan !== null);
    }
  });

  it('are run as a capture is run again: the same alerts at the same times', () => {
    const lines: CaptureLine[] = [];
    const run = runFiring(recipeOf(3), (line) => lines.push(line));
    const printed: unknown[] = [];
    const rerun = newRerun(defaultPlan(), 60_000, (line) => printed.push(JSON.parse(line)));
    for (const line of lines) rerunItem(rerun, line);
    const alerts = printed.filter((each) => JSON.stringify(each).startsWith('{"kind":"alert"'));
    expect(alerts).toEqual(
      run.alerts.map(({ kind, at, name, state, probe, text }) => ({
        kind,
        at: new Date(at).toISOString(),
        name,
        state,
        probe,
        text,
      })),
    );
    const marks = marksOf(run);
    expect(marks.tool.climbErrors.length + marks.tool.untoldMin).toBe(Math.round(60 * marks.climbingH));
    expect(marks.closed).toBe(true);
  }, 120_000);
});
