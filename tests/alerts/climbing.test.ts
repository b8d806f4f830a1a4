/** Alerts of the climb: too fast upward, too fast in cooling. Figures: see each; the delays are our own choice. */
import { describe, expect, it } from 'vitest';
import { climbTooFast, coolingTooFast } from '../../alerts/rules/climb.ts';
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
