/** The next stoke, what a stoke brings and the wood, in words. Pure. */

import type { Hole } from '../collector/core/stoking.ts';
import { poundsFromKg, type TemperatureUnit } from '../protocol/units.ts';
import { lastOf, type Stoking } from './firing.ts';
import type { Moment } from './moment.ts';
import { sayAbout, sayDecimal, sayGain, sayHeat, sayStretch, sayWeight } from './say.ts';
import { SAY } from './words.ts';

/** One thing that is asked at a kiln: its name, the answer, and a word more. */
export interface StokingFact {
  name: string;
  words: string;
  more: string | null;
}

const HOLE_WORDS = { left: SAY.leftHole, right: SAY.rightHole };

/** So near, it is due any moment. */
const ANY_MOMENT_MS = 45_000;

/** The hole that is next, where the core says which; null as well once a stoke was logged after that was told. */
export function nextStokeHole({ firing, log, fresh }: Pick<Moment, 'firing' | 'log' | 'fresh'>): Hole | null {
  const { stoking } = firing;
  const last = lastOf(log, 'stoke');
  if (stoking === null || fresh.stale || (last !== null && last.at > stoking.at)) return null;
  return stoking.next?.hole ?? null;
}

/** `in about 3 minutes`, or that the heat has peaked. */
function nextWords({ next, at }: Stoking, now: number): StokingFact | null {
  if (next === null) return null;
  const hole = next.hole && HOLE_WORDS[next.hole];
  const fact = (words: string, more: string | null) => ({ name: SAY.nextStoke, words, more });
  if (next.peaked) return fact(SAY.stokeNow, hole ?? null);
  const left = (ms: number) => Math.max(0, at + ms - now);
  if (left(next.dueInMs.mid) < ANY_MOMENT_MS) return fact(SAY.stokeAnyMoment, hole ?? null);
  const range = sayStretch(left(next.dueInMs.low), left(next.dueInMs.high));
  const more = [range, hole].filter((each) => each !== null).join(', ');
  return fact(SAY.stokeIn(sayAbout(left(next.dueInMs.mid))), more === '' ? null : more);
}

/** `+11 °F a stoke`; by hole, less than before, or that more wood brings less. */
function gainWords({ gain }: Stoking, unit: TemperatureUnit): StokingFact | null {
  if (gain === null) return null;
  const { perStokeC, leftC, rightC, trend, moreBringsLess } = gain;
  const signed = (gainC: number) => sayGain(gainC, unit);
  const byHole = leftC === null || rightC === null ? null : SAY.byHole(signed(leftC), signed(rightC));
  const more = moreBringsLess
    ? SAY.moreBringsLess
    : trend === 'less'
      ? SAY.lessThanBefore
      : trend === 'more'
        ? SAY.moreThanBefore
        : byHole;
  return { name: SAY.aStokeBrings, words: signed(perStokeC), more };
}

/** A pile of wood is weighed to the nearest ten pounds or kilos. */
function tensOf(kg: number, unit: TemperatureUnit): string {
  const tens = Math.round((unit === 'F' ? poundsFromKg(kg) : kg) / 10) * 10;
  return `${tens}\u00a0${unit === 'F' ? 'lb' : 'kg'}`;
}

/** Less than this is told by its weight alone, face cords. */
const LEAST_FACE_CORDS = 0.05;

/** `1.2 face cords in`, with its weight and heat. */
function woodWords({ fuel }: Stoking, unit: TemperatureUnit): StokingFact | null {
  if (fuel === null) return null;
  const { inKg, heatMJ, kgPerFaceCord, leftKg, spread } = fuel;
  if (inKg === null || heatMJ === null)
    return {
      name: SAY.wood,
      words: SAY.stokesIn(fuel.stokes),
      more: fuel.seenOnly ? SAY.asSeen : SAY.notWeighed,
    };
  if (leftKg === null && inKg < LEAST_FACE_CORDS * kgPerFaceCord)
    return { name: SAY.wood, words: SAY.weightIn(sayWeight(inKg, unit)), more: sayHeat(heatMJ, unit) };
  const faceCords = (kg: number) => sayDecimal(kg / kgPerFaceCord, 1);
  const words =
    leftKg === null ? SAY.woodIn(faceCords(inKg)) : SAY.woodInLeft(faceCords(inKg), faceCords(leftKg));
  const weight = `${tensOf(inKg, unit)}, ${sayHeat(heatMJ, unit)}`;
  return { name: SAY.wood, words, more: spread || fuel.seenOnly ? SAY.roughly(weight) : weight };
}

/** `The stack lasts about 5 hours; the firing needs about 4 hours more.` */
function stackWords({ fuel }: Stoking): StokingFact | null {
  if (!fuel || fuel.lastsMs === null) return null;
  const needs = fuel.toEndMs === null ? null : SAY.firingNeeds(sayAbout(fuel.toEndMs));
  return { name: SAY.stack, words: SAY.stackLasts(sayAbout(fuel.lastsMs)), more: needs };
}

/** What is known of the stoking and the wood now. */
export function stokingFacts(stoking: Stoking | null, now: number, unit: TemperatureUnit): StokingFact[] {
  if (stoking === null) return [];
  const facts = [
    nextWords(stoking, now),
    gainWords(stoking, unit),
    woodWords(stoking, unit),
    stackWords(stoking),
  ];
  return facts.filter((fact) => fact !== null);
}
