/** Stall and falling: the rules with the sequential test behind them. Figures: see each; delays and bands are our own choice. */
import { describe, expect, it } from 'vitest';
import type { Rule } from '../../alerts/rule.ts';
import { falling, stall } from '../../alerts/rules/stall.ts';
import { followStillness, newStillness, stillnessAt } from '../../collector/core/stillness.ts';
import type { Stage } from '../../protocol/stages.ts';
import { STAGES } from '../../protocol/stages.ts';
import { MINUTE_MS, type Shown, START_MS, turns, viewOf, watch } from '../support/kiln.ts';

/** A kiln whose readings show this climb, with the deviation that the track has in steady firing. */
const climbs = (climbCPerH: number | null, rest: Shown = {}): Shown => ({
  ...rest,
  kiln: { climbCPerH, climbSdCPerH: 20, shownCPerH: climbCPerH, ...rest.kiln },
});

const WELL = climbs(60);
const GONE: Shown = { kiln: { smoothC: null, climbCPerH: null, climbSdCPerH: null, shownCPerH: null } };

interface Spell {
  forS: number;
  shown: Shown;
}

/** The rule with the test that the core runs before it, each second. */
function watchStill(rule: Rule, spells: readonly Spell[], eases?: (easing: boolean, second: number) => void) {
  const stillness = newStillness();
  return watch(
    rule,
    spells.map(({ forS, shown }) => ({
      forS,
      shown: (at: number): Shown => {
        followStillness(stillness, viewOf(shown, at));
        return { ...shown, still: stillnessAt(stillness, at) };
      },
    })),
    eases,
  );
}

const told = (rule: Rule, spells: readonly Spell[]) => turns(watchStill(rule, spells));

describe('stall', () => {
  // 11 °C/h is 20 °F/h: our own choice. The quick sum's reference is 28 °C/h below it, its decision interval 2.5 °C/h times min.
  it.each([
    { shows: -17 - 7.5, after: '20 raised' },
    { shows: -17 - 15, after: '10 raised' },
    { shows: -17 - 3.75, after: '40 raised' },
    { shows: 5, after: null },
    { shows: 11, after: null },
  ])('when the readings show $shows °C/h: $after', ({ shows, after }) => {
    expect(told(stall, [{ forS: 600, shown: climbs(shows) }])).toEqual(after === null ? [] : [after]);
  });

  it('is not raised by what a rise between takes off again', () => {
    const dip = [
      { forS: 30, shown: climbs(-20) },
      { forS: 50, shown: climbs(9) },
    ];
    expect(told(stall, [...dip, ...dip, ...dip, ...dip])).toEqual([]);
  });

  it('goes by the plan', () => {
    const shown = climbs(-5.5, { plan: { stallCPerH: 30 } });
    expect(told(stall, [{ forS: 600, shown }])).toEqual(['20 raised']);
  });

  it.each<{ what: string; spells: Spell[]; says: string[] }>([
    {
      what: 'is cleared when it has climbed for 15 min',
      spells: [
        { forS: 100, shown: climbs(-20.75) },
        { forS: 1000, shown: WELL },
      ],
      says: ['40 raised', '1000 cleared'],
    },
    {
      what: 'is not told twice when it comes back within these',
      spells: [
        { forS: 100, shown: climbs(-20.75) },
        { forS: 880, shown: WELL },
        { forS: 300, shown: climbs(-20.75) },
        { forS: 1000, shown: WELL },
      ],
      says: ['40 raised', '2180 cleared'],
    },
    {
      what: 'stays up until the readings show a climb of as much again over the figure',
      spells: [
        { forS: 100, shown: climbs(-20.75) },
        { forS: 900, shown: climbs(22) },
        { forS: 1000, shown: climbs(22.1) },
      ],
      says: ['40 raised', '1900 cleared'],
    },
    {
      what: 'waits while nothing is known',
      spells: [
        { forS: 20, shown: climbs(-20.75) },
        { forS: 600, shown: GONE },
        { forS: 100, shown: climbs(-20.75) },
      ],
      says: ['640 raised'],
    },
    {
      what: 'is cleared 3 min after salt goes in',
      spells: [
        { forS: 100, shown: climbs(-20.75) },
        { forS: 300, shown: climbs(-20.75, { stage: 'salting' }) },
      ],
      says: ['40 raised', '280 cleared'],
    },
    {
      what: 'begins to count when the hold has been over for 25 min',
      spells: [
        { forS: 600, shown: climbs(-20.75, { sinceHoldMs: 24 * MINUTE_MS }) },
        { forS: 100, shown: climbs(-20.75, { sinceHoldMs: 25 * MINUTE_MS }) },
      ],
      says: ['639 raised'],
    },
  ])('$what', ({ spells, says }) => {
    expect(told(stall, spells)).toEqual(says);
  });

  it.each(
    STAGES.map((stage): { stage: Stage; raised: boolean } => ({ stage, raised: stage === 'climbing' })),
  )('in $stage: $raised', ({ stage, raised }) => {
    for (const rule of [stall, falling])
      expect(told(rule, [{ forS: 300, shown: climbs(-66, { stage }) }]).length).toBe(raised ? 1 : 0);
  });

  // Salting takes about an hour (common practice, no source); 45 min of it is our own choice. The default of the plan:
  // the window closes 22 °C below its start of 1204.4 °C.
  it.each<{ what: string; shown: Shown; raised: boolean }>([
    { what: 'a hold that ended 24 min ago', shown: { sinceHoldMs: 24 * MINUTE_MS }, raised: false },
    { what: 'a hold that ended 25 min ago', shown: { sinceHoldMs: 25 * MINUTE_MS }, raised: true },
    {
      what: 'heat just below the start, once reached',
      shown: { hotForMs: 2 * MINUTE_MS, kiln: { smoothC: 1190 } },
      raised: false,
    },
    { what: 'heat just below the start, never reached', shown: { kiln: { smoothC: 1190 } }, raised: true },
    {
      what: 'heat below the window',
      shown: { hotForMs: 2 * MINUTE_MS, kiln: { smoothC: 1182 } },
      raised: true,
    },
    {
      what: '44 min at salting heat behind it, nothing logged',
      shown: { hotForMs: 44 * MINUTE_MS, kiln: { smoothC: 1150 } },
      raised: true,
    },
    {
      what: '45 min at salting heat behind it, nothing logged',
      shown: { hotForMs: 45 * MINUTE_MS, kiln: { smoothC: 1150 } },
      raised: false,
    },
    { what: 'salting heat', shown: { kiln: { smoothC: 1204.4 } }, raised: false },
    { what: 'a little less than salting heat', shown: { kiln: { smoothC: 1204.3 } }, raised: true },
    {
      what: 'the cone that salting starts at',
      shown: { plan: { saltingStartC: null, saltingStartCone: '6' }, kiln: { coneValue: 6 } },
      raised: false,
    },
    {
      what: 'less than that cone',
      shown: { plan: { saltingStartC: null, saltingStartCone: '6' }, kiln: { coneValue: 5.9 } },
      raised: true,
    },
    {
      what: 'a plan with no salt',
      shown: { plan: { saltingStartC: null }, kiln: { smoothC: 1260 } },
      raised: true,
    },
    {
      what: 'a place a cone beyond the firing cone',
      shown: { plan: { firingCone: '8' }, kiln: { smoothC: 1190, coneValue: 7, mostConeValue: 9 } },
      raised: false,
    },
    {
      what: 'no place so far',
      shown: { plan: { firingCone: '8' }, kiln: { smoothC: 1190, coneValue: 8, mostConeValue: 8.9 } },
      raised: true,
    },
    { what: 'no couple left', shown: { noCoupleLeft: true }, raised: false },
  ])('with $what: $raised', ({ shown, raised }) => {
    for (const rule of [stall, falling])
      expect(told(rule, [{ forS: 300, shown: climbs(-66, shown) }]).length).toBe(raised ? 1 : 0);
  });

  it('says why it is cleared', () => {
    const clearedBy = (shown: Shown) =>
      watchStill(stall, [
        { forS: 100, shown: climbs(-20.75) },
        { forS: 1000, shown },
      ])[1]?.text;
    expect(clearedBy(WELL)).toBe('It climbs again.');
    expect(clearedBy(climbs(0, { stage: 'cooling' }))).toBe('The kiln is closed and cools.');
    expect(clearedBy(climbs(0, { kiln: { smoothC: 1210 } }))).toBe('Salting heat is reached.');
    expect(clearedBy({ ...GONE, noCoupleLeft: true })).toBe('No couple in the kiln: go by cones and draws.');
  });
});

describe('a stall that looks over', () => {
  // 5 min of climbing, and then it stands again, or climbs so slowly that nothing says that it is over.
  it.each([
    { rule: stall, smoothC: 900, relapse: 0, callsAgainMin: 15 },
    { rule: stall, smoothC: 1120, relapse: 0, callsAgainMin: 15 },
    { rule: stall, smoothC: 900, relapse: 18, callsAgainMin: 15 },
    { rule: stall, smoothC: 900, relapse: -60, callsAgainMin: 4 },
    { rule: falling, smoothC: 1120, relapse: -25, callsAgainMin: 15 },
  ])(
    '$rule.name at $smoothC °C, and then $relapse °C/h: calls again after $callsAgainMin min',
    ({ rule, smoothC, relapse, callsAgainMin }) => {
      const at = (shows: number) => climbs(shows, { kiln: { smoothC } });
      const told: string[] = [];
      const spells = [
        { forS: 1800, shown: at(-60) },
        { forS: 400, shown: at(40) },
        { forS: 3600, shown: at(relapse) },
      ];
      const changes = watchStill(rule, spells, (easing, second) => told.push(`${second} ${easing}`));
      expect(changes.map(({ state }) => state)).toEqual(['raised']);
      expect(told[0]).toBe('2100 true');
      const [second, easing] = (told[1] ?? '').split(' ');
      expect(easing).toBe('false');
      expect(Number(second) - 2200).toBeLessThanOrEqual(callsAgainMin * 60);
      expect(told.length).toBe(2);
    },
  );
});

describe('what a stall says', () => {
  const saidOf = (shown: Shown, forS = 100) => watchStill(stall, [{ forS, shown }])[0]?.text ?? '';
  const at = (smoothC: number, shows: number, rest: Shown = {}): Shown =>
    climbs(shows, { ...rest, kiln: { smoothC, climbCPerH: -4, ...rest.kiln } });

  // Causes by heat: common practice, no source.
  it.each([
    { smoothC: 450, says: /[Ww]et or thick wood.*draught/ },
    { smoothC: 900, says: /embers.*too little air/ },
    { smoothC: 1180, says: /too much wood.*too much cold air/ },
  ])('at $smoothC °C what it usually is', ({ smoothC, says }) => {
    expect(saidOf(at(smoothC, -40))).toMatch(says);
  });

  it('how it goes, since when and how sure, first of all', () => {
    expect(saidOf(at(900, -26))).toMatch(
      /^The kiln stands still: down 7 °F \(4 °C\) an hour, for about 15 minutes \(90 % sure\)\. /,
    );
    expect(saidOf(at(900, -80, { kiln: { climbCPerH: -40 } }))).toMatch(
      /^The kiln does not climb: .* \(95 % sure\)\. /,
    );
  });

  it('nothing of a climb that speaks against it: it is that of half an hour', () => {
    const of = (climbCPerH: number) => saidOf(at(900, -26, { kiln: { climbCPerH } }));
    expect(of(10)).toMatch(/^The kiln stands still: up 18 °F \(10 °C\) an hour, for about 15 minutes \(/);
    expect(of(12)).toMatch(/^The kiln stands still, for about 15 minutes \(90 % sure\)\. /);
    const falls = (climbCPerH: number) =>
      watchStill(falling, [{ forS: 200, shown: climbs(-66, { kiln: { climbCPerH } }) }])[0]?.text;
    expect(falls(-12)).toMatch(/^The kiln loses heat: down 22 °F \(12 °C\) an hour, for about/);
    expect(falls(-10)).toMatch(/^The kiln loses heat, for about 15 minutes \(95 % sure\)\. /);
  });

  it('for how long, from when the test began to count', () => {
    expect(saidOf(at(900, -10), 3000)).toMatch(/for about 25 minutes \(75 % sure\)/);
  });

  it('that nobody stokes, where no stoke was seen or logged for two usual intervals and 20 min', () => {
    const stoked = (agoMin: number, everyMin: number): NonNullable<Shown['stoke']> => ({
      lastAt: START_MS - agoMin * MINUTE_MS,
      medianIntervalMs: everyMin * MINUTE_MS,
    });
    expect(saidOf(at(900, -26, { stoke: stoked(31, 8) }))).toMatch(
      /No stoke for 31 minutes: is somebody stoking\?$/,
    );
    expect(saidOf(at(900, -26, { stoke: stoked(17, 8) }))).toMatch(/embers/);
    expect(saidOf(at(450, -26, { stoke: stoked(31, 18) }))).toMatch(/[Ww]et or thick wood/);
  });

  it('that the damper was moved, where it was of late', () => {
    const moved = (agoMin: number): Shown => ({ damperAt: START_MS - agoMin * MINUTE_MS });
    expect(saidOf(at(900, -26, moved(19)))).toMatch(
      /The damper was moved 19 minutes ago: that may be it\. .*embers/,
    );
    expect(saidOf(at(900, -26, moved(60)))).not.toMatch(/damper/);
  });
});

describe('falling', () => {
  it.each([
    { shows: -39 - 7.5, after: '20 raised' },
    { shows: -39 - 15, after: '10 raised' },
    { shows: -15, after: null },
  ])('when the readings show $shows °C/h: $after', ({ shows, after }) => {
    expect(told(falling, [{ forS: 600, shown: climbs(shows) }])).toEqual(after === null ? [] : [after]);
  });

  it('is a stall too, which stays up beneath it', () => {
    const spells = [
      { forS: 300, shown: WELL },
      { forS: 600, shown: climbs(-66) },
      { forS: 1000, shown: climbs(3) },
      { forS: 1000, shown: WELL },
    ];
    expect(told(falling, spells)).toEqual(['305 raised', '1800 cleared']);
    expect(told(stall, spells)).toEqual(['303 raised', '2800 cleared']);
  });

  it('does not ask whether somebody stokes of those who do, but says what it usually is', () => {
    const stoke = (agoMin: number) => ({
      lastAt: START_MS - agoMin * MINUTE_MS,
      medianIntervalMs: 8 * MINUTE_MS,
    });
    const said = (agoMin: number) =>
      watchStill(falling, [
        { forS: 200, shown: climbs(-66, { kiln: { smoothC: 900 }, stoke: stoke(agoMin) }) },
      ])[0]?.text;
    expect(said(1)).toMatch(/embers choke the firebox.* If it was closed on purpose, log the clam-up\.$/);
    expect(said(1)).not.toMatch(/somebody/);
    expect(said(40)).toMatch(/No stoke for 40 minutes: is somebody stoking\?/);
  });

  it('asks whether somebody stokes, and for the clam-up', () => {
    const [raised] = watchStill(falling, [{ forS: 200, shown: climbs(-66) }]);
    expect(raised?.text).toBe(
      'The kiln loses heat: down 119 °F (66 °C) an hour, for about 15 minutes (95 % sure). Is somebody stoking? If it was closed on purpose, log the clam-up.',
    );
  });
});
