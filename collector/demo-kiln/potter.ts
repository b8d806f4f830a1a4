/**
 * The demo kiln's potter: follows a plan by the read-out as a person would. Stokes, sets the damper to the size of the
 * fire now and then, reduces the body, charges salt, pulls draw rings, soaks, and closes up.
 */
import { RING_THICKNESS } from './potter-plan.ts';
import type { Deed, Potter, Sight } from './potter-state.ts';
import { bell } from './random.ts';
import { isTroubled, stoke, watchReadOut } from './stoking.ts';

/** Candling is over from here on, as the plan has it. */
const CLIMBING_FROM_C = 150;
/** Salting waits once the kiln has lost so much, until the start is regained. */
const SALT_WAITS_BELOW_C = 9;
const DAMPER_STAYS_S = 1500;

function enter(potter: Potter, stage: Potter['stage'], nowS: number): void {
  potter.stage = stage;
  potter.sinceS = nowS;
}

/** Wide for a large fire, a little less while reducing, and not moved for a trifle. */
function setDamper(potter: Potter, { nowS }: Sight, deeds: Deed[]): void {
  const reducing = potter.reducedFromS !== null && potter.reducedToS === null;
  const wide = 0.2 + potter.woodKgPerH / 290;
  const wanted = Math.round(20 * Math.max(0.4, Math.min(1, wide * (reducing ? 0.85 : 1)))) / 20;
  if (Math.abs(wanted - potter.damperOpen) < 0.09 || nowS - potter.lastDamperS < DAMPER_STAYS_S) return;
  potter.damperOpen = wanted;
  potter.lastDamperS = nowS;
  deeds.push({ log: 'damper', open: wanted });
}

function reduceBody(potter: Potter, { nowS }: Sight, deeds: Deed[]): void {
  const { plan } = potter;
  if (potter.reducedFromS === null) {
    if (potter.steadyC < plan.reduceFromC) return;
    potter.reducedFromS = nowS;
    deeds.push({ log: 'atmosphere', seen: 'reducing' });
  } else if (potter.reducedToS === null && nowS - potter.reducedFromS >= plan.reduceMin * 60) {
    potter.reducedToS = nowS;
    deeds.push({ log: 'atmosphere', seen: 'neutral' });
  }
}

/** One charge when it is time for it, a draw ring at each quarter of the salt, and an end when it is all in. */
function salt(potter: Potter, { nowS, random }: Sight, deeds: Deed[]): void {
  const { plan } = potter;
  const waitsBelowC = plan.saltingStartC - (potter.saltPaused ? 0 : SALT_WAITS_BELOW_C);
  potter.saltPaused = potter.steadyC < waitsBelowC;
  if (potter.saltPaused || nowS < potter.nextChargeS) return;
  const g = Math.min(plan.chargeG, plan.saltG - potter.saltedG);
  const hole = Math.round(potter.saltedG / plan.chargeG) % 2 === 0 ? 'left' : 'right';
  deeds.push({ log: 'salt', hole, g });
  potter.saltedG += g;
  potter.nextChargeS = nowS + plan.chargeEveryS * (1 + 0.12 * bell(random));
  const thickness = RING_THICKNESS[potter.drawsPulled];
  if (thickness && potter.saltedG >= ((potter.drawsPulled + 1) / 4) * plan.saltG) {
    potter.drawsPulled += 1;
    deeds.push({ log: 'draw', thickness });
  }
  if (potter.saltedG < plan.saltG) return;
  enter(potter, 'soak', nowS);
  deeds.push({ log: 'end-salt' });
}

/** Enters the next hold where its heat is reached; true if it does. */
function beginHold(potter: Potter, { nowS }: Sight, deeds: Deed[]): boolean {
  const hold = potter.plan.holds[potter.holdsDone];
  if (!hold || potter.steadyC < hold.atC) return false;
  potter.hold = hold;
  enter(potter, 'hold', nowS);
  deeds.push({ log: 'hold', on: true });
  return true;
}

function endHold(potter: Potter, { nowS }: Sight, deeds: Deed[]): void {
  if (potter.hold && nowS - potter.sinceS < potter.hold.minutes * 60) return;
  potter.hold = null;
  potter.holdsDone += 1;
  enter(potter, potter.steadyC < CLIMBING_FROM_C ? 'candling' : 'climbing', nowS);
  deeds.push({ log: 'hold', on: false });
}

/** Goes on to the next stage when it is time; true while there is a fire to tend. */
function goOn(potter: Potter, sight: Sight, deeds: Deed[]): boolean {
  const { plan } = potter;
  const { nowS } = sight;
  switch (potter.stage) {
    case 'before':
      if (nowS < plan.lightUpAfterMin * 60) return false;
      enter(potter, 'candling', nowS);
      potter.lastStokeS = nowS - 1500;
      deeds.push({ log: 'light-up' });
      return true;
    case 'candling':
      if (!beginHold(potter, sight, deeds) && potter.steadyC >= CLIMBING_FROM_C)
        enter(potter, 'climbing', nowS);
      return true;
    case 'hold':
      endHold(potter, sight, deeds);
      return true;
    case 'climbing':
      if (potter.steadyC >= plan.saltingStartC) enter(potter, 'salting', nowS);
      else if (!beginHold(potter, sight, deeds)) reduceBody(potter, sight, deeds);
      return true;
    case 'salting':
      salt(potter, sight, deeds);
      return true;
    case 'soak':
      if (nowS - potter.sinceS < plan.soakMin * 60) return true;
      enter(potter, 'cooling', nowS);
      potter.damperOpen = 0;
      deeds.push({ log: 'clam-up' });
      return false;
    case 'cooling':
      if (sight.hottestC >= plan.unbrickC) return false;
      enter(potter, 'open', nowS);
      deeds.push({ log: 'unbricked' });
      return false;
    case 'open':
      return false;
  }
}

/** One look at the kiln, `dtS` seconds after the last. The answer is nearly always empty. */
export function tendKiln(potter: Potter, sight: Sight, dtS: number): Deed[] {
  const deeds: Deed[] = [];
  watchReadOut(potter, sight, dtS);
  if (!goOn(potter, sight, deeds)) return deeds;
  const choking = sight.on('choked-embers');
  if (potter.wasChoking && !choking) {
    deeds.push({ log: 'rake' });
    potter.nextStokeS = sight.nowS + 600;
    potter.peakC = 1e9;
  }
  potter.wasChoking = choking;
  const troubled = isTroubled(sight);
  if (troubled) potter.troubledS = sight.nowS;
  stoke(potter, sight, deeds);
  if (!troubled) setDamper(potter, sight, deeds);
  return deeds;
}
