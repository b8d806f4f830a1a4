/** Lines that fit the current boot in no way: they wait until a hello, or its staying away, says which boot they are of. */
import type { Arrived, ArrivedPress } from './arrived.ts';
import { type Boot, canBeOf, follows, newBoot, settle } from './boot.ts';
import { ASK_AGAIN_MS, askHello, countBad, type Desk, remember } from './desk-state.ts';
import type { DeskOutput } from './desk-types.ts';
import { enter, takePress, tellAllMissing } from './take.ts';

/** Beyond so many the oldest is given up. */
const MOST_ASIDE = 1000;
/** So many readings in a row that fit together but not the boot: it is the desk that is wrong about the boot. */
const RUN_OF_ITS_OWN = 3;

/** Keeps a line for later, and asks who speaks. */
export function putAside(desk: Desk, line: Arrived | ArrivedPress, out: DeskOutput[]): void {
  desk.counts.aside += 1;
  desk.aside.push(line);
  if (desk.aside.length > MOST_ASIDE) {
    const oldest = desk.aside.shift();
    if (oldest) countBad(desk, line.at, 'does-not-fit', oldest.text, out);
  }
  askHello(desk, line.at, ASK_AGAIN_MS, out);
}

/**
 * Decides on what waited: a hello has said that the board is in `boot`, which is new or the same as before, or none has
 * come for so long that it must be taken to be the same. What can be of that boot is entered. Readings that agree with
 * one another but not with the boot are its readings all the same, and it begins anew with them. The answer is the boot
 * as it then is.
 */
export function settleAside(
  desk: Desk,
  boot: Boot,
  at: number,
  known: 'new boot' | 'same boot' | 'no hello',
  out: DeskOutput[],
): Boot {
  boot.heardAt = at;
  const waiting = desk.aside;
  desk.aside = [];
  const run = known === 'new boot' ? [] : runOfItsOwn(boot, waiting, known === 'same boot');
  for (const line of waiting) {
    if (line.kind === 'button') takePress(desk, boot, line, out);
    else if (run.includes(line)) continue;
    else if (!canBeOf(boot, line) || !enter(desk, boot, line, settle(boot, line), out))
      countBad(desk, at, 'does-not-fit', line.text, out);
  }
  return run.length > 0 ? beginAnew(desk, boot, run, at, out) : boot;
}

/**
 * The readings at the end of what waited that follow one another since the newest reading that was used: empty unless
 * they are enough to say that the boot's readings go on there. Where a hello has said that the boot is the same,
 * readings that are known already are no restart.
 */
function runOfItsOwn(boot: Boot, waiting: Desk['aside'], sameBoot: boolean): Arrived[] {
  const readings = waiting.filter((line) => line.kind === 'reading');
  let start = readings.length - 1;
  for (; start > 0; start -= 1) {
    const earlier = readings[start - 1];
    const later = readings[start];
    if (!earlier || !later || earlier.at <= boot.newestHeardAt) break;
    if (!follows(later, earlier, boot.hello.periodMs)) break;
  }
  const run = readings.slice(Math.max(0, start));
  const [first] = run;
  if (first === undefined || run.length < RUN_OF_ITS_OWN) return [];
  const { verdict } = settle(boot, first);
  return verdict === 'unfit' || (verdict !== 'live' && !sameBoot) ? run : [];
}

/** A board that restarts under its old boot id, or a reading that was taken in wrongly: the boot begins again. */
function beginAnew(desk: Desk, boot: Boot, run: Arrived[], at: number, out: DeskOutput[]): Boot {
  const { hello, liveAt, presses, pace } = boot;
  tellAllMissing(desk, boot, at, out);
  out.push({ kind: 'restarted', at: Math.round(at), board: hello.board, boot: hello.boot });
  const anew = { ...newBoot(hello, null), liveAt, presses, pace: { ...pace, recent: [] } };
  remember(desk, anew);
  for (const line of run) enter(desk, anew, line, settle(anew, line), out);
  return anew;
}

/**
 * What waited can be decided no more: the link was opened again, which can restart a board, or carries another one.
 * Readings can be asked for again; a press was a press.
 */
export function dropAside(desk: Desk, at: number, out: DeskOutput[]): void {
  for (const line of desk.aside) {
    if (line.kind === 'button' && desk.current !== null) takePress(desk, desk.current, line, out);
    else countBad(desk, at, 'does-not-fit', line.text, out);
  }
  desk.aside = [];
}
