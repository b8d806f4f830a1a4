/** What goes wrong with the fire shows in the true climb: stalls and falls, and a fire that comes back. */
import { describe, expect, it } from 'vitest';
import type { FireTrouble } from '../../collector/demo-kiln/troubles.ts';
import { trueFiring, trueStalls } from './true-firing.ts';

const START_MS = Date.UTC(2031, 9, 4, 15);

function climbsUnder(trouble: FireTrouble, seed: number) {
  const firing = trueFiring({ seed, startMs: START_MS, troubles: [trouble] }, 27);
  const began = Math.round((firing.troublesS[0] ?? Number.NaN) / 60);
  const spell = firing.minutes.slice(began, began + trouble.minutes);
  return { firing, began, leastCPerH: Math.min(...spell.map(({ climbCPerH }) => climbCPerH)) };
}

// Causes as told: overstoking the commonest (potters.org 114892); wet wood, too little air (21634); the damper, 2 cm of
// which turn a fall into a climb (haaripottery.blogspot). Temperatures of told stalls: near 900 °C, 1100 °C (several).
const STALLS: (FireTrouble & { from: { atC: number }; seed: number })[] = [
  { seed: 1, what: 'choked-embers', from: { atC: 930 }, minutes: 65 },
  { seed: 2, what: 'choked-embers', from: { atC: 1060 }, minutes: 60 },
  { seed: 3, what: 'wet-wood', from: { atC: 930 }, minutes: 65 },
  { seed: 4, what: 'damper-shut', from: { atC: 900 }, minutes: 60 },
];

describe('trouble with the fire', () => {
  it.each(STALLS)('stalls it for half an hour and more: $what from $from.atC °C', ({ seed, ...trouble }) => {
    const { firing, began } = climbsUnder(trouble, seed);
    const [stall, ...more] = trueStalls(firing).filter(({ from, to }) => to - from >= 30);
    if (!stall) throw new Error('it did not stall');
    expect(more).toEqual([]);
    // The centred kernel of ±32 min sees it up to that much ahead.
    expect(stall.from).toBeGreaterThan(began - 32);
    expect(stall.from).toBeLessThan(began + trouble.minutes);
    expect(stall.to).toBeLessThan(began + trouble.minutes + 45);
    // It comes back: the firing is brought to its end.
    expect(firing.deeds.some(({ deed }) => deed.log === 'end-salt')).toBe(true);
  });

  it('lets it fall when nobody stokes', () => {
    const { leastCPerH } = climbsUnder({ what: 'nobody-stoking', from: { atC: 1000 }, minutes: 40 }, 5);
    expect(leastCPerH).toBeLessThan(-60);
  });

  it('ends with one raking of the embers after choking them', () => {
    const { firing } = climbsUnder({ what: 'choked-embers', from: { hour: 17 }, minutes: 60 }, 6);
    expect(firing.deeds.filter(({ deed }) => deed.log === 'rake')).toHaveLength(1);
  });
});
