/** How the demo kiln's potter stokes: in rhythm, once the heat has turned down, and by how the climb has gone. */
import { gassingS, rhythmS, usualWoodKgPerH } from './potter-plan.ts';
import type { Deed, Potter, Sight } from './potter-state.ts';
import { bell } from './random.ts';

/** The kiln answers a change of fire over some stokes: the read-out is smoothed over them, and looked back on. */
const STEADY_S = 480;
const LOOK_BACK_MIN = 25;
/** From here on the next stoke waits for the heat to turn down (karatsupots.com). */
const WAITS_FROM_C = 600;
const TURNED_BY_C = 3;
/** A bed this deep wants to burn down first (potters.org 21634), and a sensible potter lets it. */
const DEEP_BED_KG = 36;
const MOST_KG = 24;
const OVERDONE = { times: 2.8, sooner: 0.55, untilKg: 37 };
/** Heat that salting takes, with the air through the open holes, as the potter allows for it. */
const SALT_KW = 50;

export function isTroubled({ on }: Sight): boolean {
  return on('choked-embers') || on('wet-wood') || on('damper-shut') || on('nobody-stoking');
}

/** Reads the kiln's read-out for `dtS` more seconds. */
export function watchReadOut(potter: Potter, { nowS, readC }: Sight, dtS: number): void {
  potter.steadyC += (1 - Math.exp(-dtS / STEADY_S)) * (readC - potter.steadyC);
  potter.peakC = Math.max(potter.peakC, readC);
  if (Math.floor(nowS / 60) === Math.floor((nowS - dtS) / 60)) return;
  potter.minutes.push(potter.steadyC);
  if (potter.minutes.length > LOOK_BACK_MIN) potter.minutes.shift();
}

/** Climb over the last half hour or less, °C/h; 0 while there is nothing to look back on. */
function seenClimb({ minutes, steadyC }: Potter): number {
  const first = minutes[0];
  return first === undefined || minutes.length < 5 ? 0 : ((steadyC - first) / minutes.length) * 60;
}

function wantedClimb(potter: Potter): number {
  const { plan, steadyC, stage } = potter;
  const toTop = 2 * (plan.topC - steadyC);
  if (stage === 'soak') return toTop;
  if (potter.hold) return 2 * (potter.hold.atC - steadyC);
  const step = plan.climbs.find(({ toC }) => steadyC < toC);
  return Math.min(step?.climbCPerH ?? 0, toTop);
}

/**
 * A little more wood than usual or a little less, by how far the climb is from the wanted one. After a trouble the
 * last half hour says nothing of the fire as it is: then as usual.
 */
function mendFire(potter: Potter, { nowS }: Sight, sinceS: number): void {
  const wanted = wantedClimb(potter);
  const blind = nowS - potter.troubledS < LOOK_BACK_MIN * 60;
  const off = blind ? 0 : Math.max(-1, Math.min(1, (wanted - seenClimb(potter)) / 50));
  potter.knack = Math.max(0.5, Math.min(4, potter.knack * Math.exp((0.55 * off * sinceS) / 3600)));
  const saltKW = potter.stage === 'salting' ? SALT_KW : 0;
  const wood = usualWoodKgPerH(potter.steadyC, wanted, saltKW) * potter.knack * Math.exp(0.17 * off);
  potter.woodKgPerH = Math.max(1.2, Math.min(230, wood));
}

function isRipe(potter: Potter, { nowS, readC, emberKg, on }: Sight): boolean {
  if (on('nobody-stoking')) return false;
  const sinceS = nowS - potter.lastStokeS;
  const intervalS = rhythmS(potter.steadyC) * potter.plan.rhythmTimes;
  if (on('choked-embers')) return sinceS >= OVERDONE.sooner * intervalS && emberKg < OVERDONE.untilKg;
  if (emberKg > DEEP_BED_KG) return false;
  if (nowS >= potter.nextStokeS) return true;
  const turned = readC < potter.peakC - TURNED_BY_C;
  return potter.steadyC >= WAITS_FROM_C && turned && sinceS >= 0.8 * intervalS;
}

/** Stokes if it is time to. */
export function stoke(potter: Potter, sight: Sight, deeds: Deed[]): void {
  if (!isRipe(potter, sight)) return;
  const { nowS, random, on } = sight;
  const sinceS = nowS - potter.lastStokeS;
  if (!isTroubled(sight)) mendFire(potter, sight, sinceS);
  const times = on('choked-embers') ? OVERDONE.times : 1;
  const kg = Math.min(MOST_KG, (potter.woodKgPerH * Math.min(sinceS, 1500)) / 3600) * times;
  deeds.push({
    log: 'stoke',
    hole: potter.nextHole,
    wood: {
      kg: Math.max(0.3, Math.round(kg * (1 + 0.06 * potter.plan.unevenness * bell(random)) * 10) / 10),
      moisture: sight.wetWood ?? potter.plan.woodMoisture,
      gassingS: gassingS(potter.steadyC),
    },
  });
  potter.nextHole = potter.nextHole === 'left' ? 'right' : 'left';
  potter.lastStokeS = nowS;
  const atMost = potter.steadyC >= WAITS_FROM_C ? 1.45 : 1;
  const { rhythmTimes, unevenness } = potter.plan;
  const laterOrSooner = 1 + 0.08 * unevenness * bell(random);
  potter.nextStokeS = nowS + rhythmS(potter.steadyC) * rhythmTimes * atMost * laterOrSooner;
  potter.peakC = -1e9;
}
