/** The stoking as it goes to the page: whole seconds and hundredths, for a weak radio link. */
import type { StokingFigures } from '../core/inputs.ts';

export function pageStoking({ at, next, gain, fuel }: StokingFigures): StokingFigures {
  return {
    at,
    next: next && {
      ...next,
      dueInMs: {
        low: toSecond(next.dueInMs.low),
        mid: toSecond(next.dueInMs.mid),
        high: toSecond(next.dueInMs.high),
      },
    },
    gain: gain && {
      ...gain,
      perStokeC: short(gain.perStokeC),
      leftC: short(gain.leftC),
      rightC: short(gain.rightC),
    },
    fuel: fuel && {
      ...fuel,
      inKg: short(fuel.inKg),
      kgPerFaceCord: short(fuel.kgPerFaceCord),
      heatMJ: short(fuel.heatMJ),
      leftKg: short(fuel.leftKg),
      kgPerH: short(fuel.kgPerH),
      climbCPerFaceCord: short(fuel.climbCPerFaceCord),
      conesPerFaceCord: short(fuel.conesPerFaceCord),
      lastsMs: fuel.lastsMs === null ? null : toSecond(fuel.lastsMs),
      toEndMs: fuel.toEndMs === null ? null : toSecond(fuel.toEndMs),
    },
  };
}

function toSecond(ms: number): number {
  return Math.round(ms / 1000) * 1000;
}

function short<Value extends number | null>(value: Value): Value {
  return (value === null ? null : Math.round(value * 100) / 100) as Value;
}
