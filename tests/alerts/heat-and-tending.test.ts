/** Alerts of too much heat, of unevenness, of the next stoke and of the unbricking. Delays and bands are our own choice. */
import { describe, expect, it } from 'vitest';
import { overHeat, uneven } from '../../alerts/rules/heat.ts';
import { readyToUnbrick, stokeDue } from '../../alerts/rules/tending.ts';
import { STAGES } from '../../protocol/stages.ts';
import { MINUTE_MS, probeView, type Shown, turns, watch } from '../support/kiln.ts';

type Spans = { forS: number; shown: Shown | ((at: number) => Shown) }[];
const NO_KILN: Shown['kiln'] = { smoothC: null, climbCPerH: null, climbSdCPerH: null };

describe('over-heat of the kiln', () => {
  const at = (smoothC: number | null, rest: Shown = {}): Shown => ({
    probes: [],
    ...rest,
    kiln: { smoothC, ...rest.kiln },
  });

  it.each<{ what: string; spans: Spans; told: string[] }>([
    { what: 'above the top for 3 min', spans: [{ forS: 300, shown: at(1280.1) }], told: ['180 raised'] },
    { what: 'not at the top', spans: [{ forS: 600, shown: at(1280) }], told: [] },
    {
      what: 'not for less than 3 min',
      spans: [
        { forS: 180, shown: at(1290) },
        { forS: 300, shown: at(1270) },
      ],
      told: [],
    },
    {
      what: "by the plan's top",
      spans: [{ forS: 300, shown: at(1251, { plan: { topC: 1250 } }) }],
      told: ['180 raised'],
    },
    {
      what: 'cleared 5 °C below for 3 min',
      spans: [
        { forS: 200, shown: at(1290) },
        { forS: 300, shown: at(1274.9) },
      ],
      told: ['180 raised', '380 cleared'],
    },
    {
      what: 'stays up between',
      spans: [
        { forS: 200, shown: at(1290) },
        { forS: 900, shown: at(1275.1) },
      ],
      told: ['180 raised'],
    },
    {
      what: 'stays up while nothing is known',
      spans: [
        { forS: 200, shown: at(1290) },
        { forS: 900, shown: at(null) },
      ],
      told: ['180 raised'],
    },
    {
      what: 'is over with no couple left',
      spans: [
        { forS: 200, shown: at(1290) },
        { forS: 300, shown: at(null, { noCoupleLeft: true }) },
      ],
      told: ['180 raised', '380 cleared'],
    },
  ])('$what', ({ spans, told }) => {
    expect(turns(watch(overHeat, spans))).toEqual(told);
  });

  it('says by how much and what to do', () => {
    const changes = watch(overHeat, [
      { forS: 200, shown: at(1290) },
      { forS: 200, shown: at(1270) },
    ]);
    expect(changes.map(({ text }) => text)).toEqual([
      'Hotter than planned: 2354 °F (1290 °C), the top is 2336 °F (1280 °C). Stop stoking and let it burn down.',
      'Below the top again: 2318 °F (1270 °C).',
    ]);
  });
});

describe('over-heat of a couple', () => {
  /** Type N reads to 1300 °C (IEC 60584-1): 20 °C below it begins. */
  const probe = (smoothC: number | null, changes: Parameters<typeof probeView>[0] = {}): Shown => ({
    probes: [probeView({ probe: 'low', smoothC, nearLimitC: 1280, ...changes })],
    kiln: { smoothC: 1200 },
  });

  it.each<{ what: string; spans: Spans; told: string[] }>([
    {
      what: 'within 20 °C of its limit for 3 min',
      spans: [{ forS: 300, shown: probe(1280.1) }],
      told: ['180 raised low'],
    },
    { what: 'not at 20 °C', spans: [{ forS: 300, shown: probe(1280) }], told: [] },
    {
      what: 'cleared 5 °C lower',
      spans: [
        { forS: 200, shown: probe(1285) },
        { forS: 300, shown: probe(1274) },
      ],
      told: ['180 raised low', '380 cleared low'],
    },
    {
      what: 'stays up between',
      spans: [
        { forS: 200, shown: probe(1285) },
        { forS: 900, shown: probe(1276) },
      ],
      told: ['180 raised low'],
    },
    {
      what: 'waits while it is silent',
      spans: [
        { forS: 100, shown: probe(1285) },
        { forS: 600, shown: probe(1285, { working: false }) },
        { forS: 100, shown: probe(1285) },
      ],
      told: ['780 raised low'],
    },
    {
      what: 'ends when it is pulled',
      spans: [
        { forS: 200, shown: probe(1285) },
        { forS: 300, shown: probe(1285, { working: false, pulled: true }) },
      ],
      told: ['180 raised low', '380 cleared low'],
    },
    {
      what: 'ends when it has failed',
      spans: [
        { forS: 200, shown: probe(1285) },
        { forS: 300, shown: probe(1285, { working: false, fault: 'its circuit is open.' }) },
      ],
      told: ['180 raised low', '380 cleared low'],
    },
  ])('$what', ({ spans, told }) => {
    expect(turns(watch(overHeat, spans))).toEqual(told);
  });
});

describe('uneven', () => {
  const spread = (differenceC: number, kilnC = 900, rest: Shown = {}): Shown => ({
    probes: [
      probeView({ probe: 'low', smoothC: kilnC - differenceC / 2 }),
      probeView({ probe: 'high', smoothC: kilnC + differenceC / 2 }),
      probeView({ probe: 'back', smoothC: kilnC }),
    ],
    ...rest,
    kiln: { smoothC: kilnC },
  });

  // 400 °F on the way, 150 °F at the top of a firing (evafunderburgh.com).
  it.each([
    { differenceC: 222.1, kilnC: 900, raised: true },
    { differenceC: 222, kilnC: 900, raised: false },
    { differenceC: 83.1, kilnC: 1099.9, raised: false },
    { differenceC: 83.1, kilnC: 1100, raised: true },
    { differenceC: 83, kilnC: 1100, raised: false },
  ])('by $differenceC °C at $kilnC °C: $raised', ({ differenceC, kilnC, raised }) => {
    expect(turns(watch(uneven, [{ forS: 2000, shown: spread(differenceC, kilnC) }]))).toEqual(
      raised ? ['1800 raised'] : [],
    );
  });

  const gone: Shown = {
    ...spread(0),
    probes: [probeView({ working: false }), probeView({ probe: 'high', working: false })],
    kiln: NO_KILN,
  };
  const oneLeft = (changes: Parameters<typeof probeView>[0]): Shown => ({
    probes: [probeView(), probeView({ probe: 'high', working: false, ...changes })],
  });
  it.each<{ what: string; spans: Spans; told: string[] }>([
    {
      what: 'not for less than half an hour',
      spans: [
        { forS: 1800, shown: spread(300) },
        { forS: 600, shown: spread(100) },
      ],
      told: [],
    },
    {
      what: 'although the link hiccups',
      spans: [
        { forS: 1000, shown: spread(300) },
        { forS: 60, shown: gone },
        { forS: 1000, shown: spread(300) },
      ],
      told: ['1860 raised'],
    },
    {
      what: 'cleared 5 min after it is a tenth less',
      spans: [
        { forS: 1900, shown: spread(300) },
        { forS: 400, shown: spread(199) },
      ],
      told: ['1800 raised', '2200 cleared'],
    },
    {
      what: 'stays up between',
      spans: [
        { forS: 1900, shown: spread(300) },
        { forS: 900, shown: spread(201) },
      ],
      told: ['1800 raised'],
    },
    {
      what: 'ends when one of two is pulled',
      spans: [
        { forS: 1900, shown: spread(300) },
        { forS: 400, shown: oneLeft({ pulled: true }) },
      ],
      told: ['1800 raised', '2200 cleared'],
    },
    {
      what: 'ends when one of two has failed',
      spans: [
        { forS: 1900, shown: spread(300) },
        { forS: 400, shown: oneLeft({ fault: 'open' }) },
      ],
      told: ['1800 raised', '2200 cleared'],
    },
    {
      what: 'leaves out a probe that has failed',
      spans: [
        {
          forS: 2000,
          shown: {
            probes: [
              probeView({ smoothC: 100, fault: 'loose' }),
              probeView({ probe: 'high' }),
              probeView({ probe: 'back' }),
            ],
          },
        },
      ],
      told: [],
    },
  ])('$what', ({ spans, told }) => {
    expect(turns(watch(uneven, spans))).toEqual(told);
  });

  it.each(STAGES.map((stage) => ({ stage, raised: !['before', 'cooling', 'open'].includes(stage) })))(
    'in $stage: $raised',
    ({ stage, raised }) => {
      expect(turns(watch(uneven, [{ forS: 1900, shown: spread(300, 900, { stage }) }]))).toEqual(
        raised ? ['1800 raised'] : [],
      );
    },
  );

  it('says which is hot and which is cold, and what to do', () => {
    const [raised] = watch(uneven, [{ forS: 1900, shown: spread(300) }]);
    expect(raised?.text).toBe(
      'For half an hour high has been much hotter than low, by 540 °F (300 °C) now. Move the damper a little, then wait two or three stokes.',
    );
  });
});

describe('stoke-due', () => {
  /** The last stoke at the first look, each ten minutes one; the heat is seen to turn down after `peakedMin`. */
  const stoked =
    (rest: Shown = {}, peakedMin: number | null = null) =>
    (at: number): Shown => {
      const lastAt = Date.UTC(2031, 2, 8, 5);
      const peakedAt = peakedMin === null ? null : lastAt + peakedMin * MINUTE_MS;
      return {
        ...rest,
        stoke: {
          lastAt,
          logged: true,
          medianIntervalMs: 10 * MINUTE_MS,
          peakedAt: peakedAt !== null && at >= peakedAt ? peakedAt : null,
          ...rest.stoke,
        },
      };
    };

  it.each<{ what: string; shown: (at: number) => Shown; told: string[] }>([
    { what: '1.5 usual intervals after the last', shown: stoked(), told: ['900 raised'] },
    { what: 'when the heat has peaked and begun to go down', shown: stoked({}, 6), told: ['360 raised'] },
    {
      what: 'the same where stokes are only seen',
      shown: stoked({ stoke: { logged: false } }, 6),
      told: ['360 raised'],
    },
    {
      what: 'by the clock where stokes are only seen and no peak is',
      shown: stoked({ stoke: { logged: false } }),
      told: ['900 raised'],
    },
    {
      what: 'by the peak alone where the rhythm is not known',
      shown: stoked({ stoke: { medianIntervalMs: null } }, 9),
      told: ['540 raised'],
    },
    {
      what: 'not where the rhythm is not known',
      shown: stoked({ stoke: { medianIntervalMs: null } }),
      told: [],
    },
    { what: 'not where no stoke is known and no peak', shown: stoked({ stoke: { lastAt: null } }), told: [] },
    {
      what: 'although no couple is left, where they are logged',
      shown: stoked({ noCoupleLeft: true, kiln: NO_KILN }),
      told: ['900 raised'],
    },
    {
      what: 'not where none is left to see them by',
      shown: stoked({ noCoupleLeft: true, kiln: NO_KILN, stoke: { logged: false } }),
      told: [],
    },
    {
      what: 'not while nothing is known and nobody logs',
      shown: stoked({ kiln: NO_KILN, stoke: { logged: false } }),
      told: [],
    },
  ])('$what', ({ shown, told }) => {
    expect(turns(watch(stokeDue, [{ forS: 1200, shown }]))).toEqual(told);
  });

  it('calls for no wood while the alert that stands asks for less of it', () => {
    const fast = { stage: 'climbing', kiln: { smoothC: 300, climbCPerH: 120, climbSdCPerH: 5 } } as const;
    expect(turns(watch(stokeDue, [{ forS: 1200, shown: stoked(fast) }]))).toEqual([]);
    const still = { stands: { sure: true, forMs: 0 }, falls: { sure: false, forMs: 0 } };
    const stands = { stage: 'climbing', kiln: { smoothC: 900, climbCPerH: 3 }, still } as const;
    const spans = [{ forS: 2000, shown: stoked(stands) }];
    // Once nobody has stoked for twenty minutes it is wood that it wants.
    expect(turns(watch(stokeDue, spans))).toEqual(['1200 raised']);
    const held = stoked({ ...stands, stage: 'hold' });
    expect(turns(watch(stokeDue, [{ forS: 1200, shown: held }]))).toEqual(['900 raised']);
  });

  it('is cleared by a stoke', () => {
    const again = (at: number): Shown => ({
      stoke: { lastAt: at, logged: true, medianIntervalMs: 10 * MINUTE_MS },
    });
    const changes = watch(stokeDue, [
      { forS: 1000, shown: stoked() },
      { forS: 10, shown: again },
    ]);
    expect(turns(changes)).toEqual(['900 raised', '1000 cleared']);
    expect(changes[1]?.text).toBe('Stoked.');
  });

  it.each(
    STAGES.map((stage) => ({ stage, raised: ['climbing', 'hold', 'salting', 'soak'].includes(stage) })),
  )('in $stage: $raised', ({ stage, raised }) => {
    expect(turns(watch(stokeDue, [{ forS: 1000, shown: stoked({ stage }) }]))).toEqual(
      raised ? ['900 raised'] : [],
    );
  });

  it('says when the last one was', () => {
    const text = (shown: (at: number) => Shown) => watch(stokeDue, [{ forS: 1000, shown }])[0]?.text;
    expect(text(stoked())).toBe('Time to stoke. The last stoke was 15 minutes ago.');
    expect(text(stoked({}, 12))).toBe(
      'Time to stoke: the last one has given its heat. The last stoke was 12 minutes ago.',
    );
    expect(text(stoked({ stoke: { logged: false } }))).toBe(
      'Time to stoke. The last stoke seen was 15 minutes ago.',
    );
  });
});

describe('ready-to-unbrick', () => {
  const cooled = (highC: number, rest: Shown = {}, high: Parameters<typeof probeView>[0] = {}): Shown => ({
    stage: 'cooling',
    probes: [probeView({ smoothC: 120 }), probeView({ probe: 'high', smoothC: highC, ...high })],
    ...rest,
  });

  // 400 °F after about five days: common practice, no source.
  it.each<{ what: string; spans: Spans; told: string[] }>([
    {
      what: 'when the hottest is below 204.4 °C for 5 min',
      spans: [{ forS: 400, shown: cooled(204.3) }],
      told: ['300 raised'],
    },
    { what: 'not at 204.4 °C', spans: [{ forS: 400, shown: cooled(204.4) }], told: [] },
    { what: 'not when only the others are', spans: [{ forS: 400, shown: cooled(260) }], told: [] },
    {
      what: 'by the plan',
      spans: [{ forS: 400, shown: cooled(110, { plan: { unbrickC: 121 } }) }],
      told: ['300 raised'],
    },
    {
      what: 'leaving out what does not work',
      spans: [{ forS: 400, shown: cooled(900, {}, { working: false }) }],
      told: ['300 raised'],
    },
    {
      what: 'not where nothing works',
      spans: [
        { forS: 400, shown: { stage: 'cooling', probes: [probeView({ working: false, smoothC: 20 })] } },
      ],
      told: [],
    },
    {
      what: 'not with no couple left',
      spans: [{ forS: 400, shown: cooled(100, { noCoupleLeft: true }) }],
      told: [],
    },
    {
      what: 'taken back 5 °C higher',
      spans: [
        { forS: 400, shown: cooled(200) },
        { forS: 400, shown: cooled(209.4) },
      ],
      told: ['300 raised', '700 cleared'],
    },
    {
      what: 'stays up between',
      spans: [
        { forS: 400, shown: cooled(200) },
        { forS: 900, shown: cooled(209.3) },
      ],
      told: ['300 raised'],
    },
  ])('$what', ({ spans, told }) => {
    expect(turns(watch(readyToUnbrick, spans))).toEqual(told);
  });

  it.each(STAGES.map((stage) => ({ stage, raised: stage === 'cooling' })))(
    'in $stage: $raised',
    ({ stage, raised }) => {
      expect(turns(watch(readyToUnbrick, [{ forS: 400, shown: cooled(100, { stage }) }]))).toEqual(
        raised ? ['300 raised'] : [],
      );
    },
  );

  it('says what it goes by, with the cautions', () => {
    const [raised] = watch(readyToUnbrick, [{ forS: 400, shown: cooled(200) }]);
    expect(raised?.text).toBe(
      'Cool enough to unbrick: the hottest probe shows 392 °F (200 °C). Open slowly, cold air cracks pots. Brick and ware still burn you. Wet the dust.',
    );
  });
});
