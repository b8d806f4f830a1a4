/** Two packs of cones in the demo kiln, one at the front and one at the back: which of them bend and go down, and when. */
import { kelvin } from '../core/heat-work/arrhenius.ts';
import { CONE_RATES } from '../core/heat-work/cone-rates.ts';
import type { Zone } from './chamber.ts';
import type { Deed } from './potter-state.ts';

const PACK = ['08', '1', '6', '8', '9', '10'] as const;
const PLACES = ['front-low', 'back-low'] as const satisfies readonly Zone[];
/** Heat work at which a cone is seen to bend; at 1 it is down. */
const BENDS_AT = 0.7;
/** A cone pack is looked at this often, s. */
const LOOK_EVERY_S = 20;

interface Cone {
  place: Zone;
  cone: string;
  lnAPerH: number;
  activationK: number;
  work: number;
  seen: 'standing' | 'bending' | 'down';
}

export interface ConePacks {
  cones: Cone[];
  lookedS: number;
}

export function openConePacks(): ConePacks {
  const cones = PLACES.flatMap((place) =>
    CONE_RATES.filter(({ name }) => (PACK as readonly string[]).includes(name)).map(({ name, rate }) => ({
      place,
      cone: name,
      ...rate,
      work: 0,
      seen: 'standing' as const,
    })),
  );
  return { cones, lookedS: 0 };
}

/** Heat work at the places of the packs up to `nowS`; what a look through the spyhole shows is pushed to `deeds`. */
export function heatConePacks(
  packs: ConePacks,
  placeC: Record<Zone, number>,
  nowS: number,
  deeds: Deed[],
): void {
  const forH = (nowS - packs.lookedS) / 3600;
  if (forH * 3600 < LOOK_EVERY_S) return;
  packs.lookedS = nowS;
  for (const cone of packs.cones) {
    if (cone.seen === 'down') continue;
    cone.work += Math.exp(cone.lnAPerH - cone.activationK / kelvin(placeC[cone.place])) * forH;
    if (cone.work >= 1) {
      cone.seen = 'down';
      deeds.push({ log: 'cone-down', probe: cone.place, cone: cone.cone });
    } else if (cone.work >= BENDS_AT && cone.seen === 'standing') {
      cone.seen = 'bending';
      deeds.push({ log: 'cone-bending', probe: cone.place, cone: cone.cone });
    }
  }
}
