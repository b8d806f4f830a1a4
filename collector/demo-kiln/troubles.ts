/** What can go wrong in the demo kiln, as a script: when it begins and how long it lasts. */

/** Hours after light-up, or the first time after light-up that the kiln's mean is at `atC`. */
export type Moment = { hour: number } | { atC: number };

export interface Scripted {
  from: Moment;
  minutes: number;
}

/**
 * `choked-embers`: too much wood too often, until the ember bed lets no air through. `wet-wood`: a stack that stood
 * in the rain. `damper-shut`: knocked half shut. `nobody-stoking`: asleep in the chair.
 */
export type FireTroubleName = 'choked-embers' | 'wet-wood' | 'damper-shut' | 'nobody-stoking';

export interface FireTrouble extends Scripted {
  what: FireTroubleName;
  /** Of wet wood, its share of water by wet mass: 0.2 is seasoned, 0.5 is green. 0.38 unless told. */
  moisture?: number;
}

/** One thing of a script, and the seconds after the kiln's start at which it began, or null. */
export interface Scheduled<What extends Scripted> {
  script: What;
  sinceS: number | null;
}

export function schedule<What extends Scripted>(script: readonly What[]): Scheduled<What>[] {
  return script.map((each) => ({ script: each, sinceS: null }));
}

/** Notes what begins at this moment. `litS`: light-up in the same seconds, or null before it. */
export function beginScripted(
  scheduled: readonly Scheduled<Scripted>[],
  nowS: number,
  litS: number | null,
  meanC: number,
): void {
  if (litS === null) return;
  for (const each of scheduled) {
    if (each.sinceS !== null) continue;
    const { from } = each.script;
    if ('hour' in from ? nowS - litS >= from.hour * 3600 : meanC >= from.atC) each.sinceS = nowS;
  }
}

export function isGoingOn({ script, sinceS }: Scheduled<Scripted>, nowS: number): boolean {
  return sinceS !== null && nowS < sinceS + script.minutes * 60;
}
