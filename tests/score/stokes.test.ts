/** How told peaks and stokes are marked. */
import { describe, expect, it } from 'vitest';
import { newStokeRun, type StokeRun, stokeMarks } from './stokes.ts';

/** Three stokes 600 s apart from 1000 s on: the gas falls for 30 s, rises to a peak 200 s after, and goes down again. */
function firing(told: Partial<StokeRun>): StokeRun {
  const gasC = Array.from({ length: 2900 }, (_, s) => {
    const since = s < 1000 ? 600 : (s - 1000) % 600;
    if (since < 30) return 900 - since;
    return since < 200 ? 870 + (since - 30) * 0.5 : 955 - (since - 200) * 0.1;
  });
  const stokes = [1000, 1600, 2200].map((atS) => ({ atS, stage: 'climbing' as const }));
  const readingsS = Array.from({ length: 280 }, (_, i) => 10 * i);
  return { ...newStokeRun(), gasC, stokes, readingsS, ...told };
}

const marks = (told: Partial<StokeRun>) => stokeMarks(firing(told), 10_000, 2790);

describe('a told peak', () => {
  it.each([
    {
      what: 'a minute after the true one is found',
      peaksS: [1260, 1860, 2460],
      delays: [60, 60, 60],
      falsely: 0,
    },
    { what: 'a little before it is found', peaksS: [1190], delays: [-10], falsely: 0 },
    { what: 'far below it is false', peaksS: [1100], delays: [], falsely: 1 },
    { what: 'in the dip of the next stoke is false', peaksS: [1620], delays: [], falsely: 1 },
    { what: 'told twice is false once', peaksS: [1260, 1400], delays: [60], falsely: 1 },
  ])('$what', ({ peaksS, delays, falsely }) => {
    expect(marks({ peaksS })).toMatchObject({ peaks: 3, delaysS: delays, falsely, told: peaksS.length });
  });

  it('is not asked for where the readings were away', () => {
    const readingsS = firing({}).readingsS.filter((s) => s < 1300 || s > 1500);
    expect(marks({ readingsS, peaksS: [1260] })).toMatchObject({ peaks: 2, told: 0 });
  });
});

it('a stoke is seen within two minutes of its time, and the others are false', () => {
  const seen = [1010, 1400, 2290].map((atS) => ({ atS, noticedS: atS + 60 }));
  expect(marks({ seen })).toMatchObject({ stokes: 3, seenOffS: [10, 90], lows: 3 });
});

it('what is said two minutes after a stoke is held against the peak', () => {
  const said = [
    { atS: 1060, dueS: 1100 },
    { atS: 1130, dueS: 1230 },
  ];
  expect(marks({ said }).nextOffS).toEqual([30]);
});
