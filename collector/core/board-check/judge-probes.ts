/**
 * Is each probe fit for a firing? Judged in a cold kiln, where all probes should read about the same. All figures here
 * are our own choice, but where a source is named.
 */
import { differenceInWords, heatInWords } from '../../../alerts/words.ts';
import type { BoardFacts, ProbeFacts } from '../../../protocol/board-facts.ts';
import type { NoTemperature } from '../couple/convert.ts';
import { FAULT_WORDS, TOO_COLD_FOR_B } from '../fault-words.ts';
import { aboutOf, type Finding } from './finding.ts';
import { median } from './spread.ts';

/** A kiln warmer than this was lit not long ago, and its probes need not agree. */
const COLD_KILN_C = 60;
/**
 * Two good couples of standard tolerance (2.5 °C each below 333 °C, IEC 60584-1 class 2) with two boards' errors may
 * differ by some 5 °C; beyond this one of them is wrong.
 */
const APART_C = 8;
/** One reading's noise: restless, and too much to see a climb of some degrees an hour in. */
const RESTLESS_C = 1.5;
const NOISY_C = 4;
/** A hand at the tip gives more than this. */
const MOVED_C = 3;
const MOVED_NOISES = 5;
/** The kiln differs from the board by so much that a couple with crossed wires shows it. */
const MIRROR_FROM_C = 6;
/** A board that stands beside a cold kiln is not so much warmer than it. */
const COLDER_THAN_BOARD_C = 15;
const FAULTY_SHARE = 0.5;

/** One finding at least for each probe, in their order. None while there are no readings. */
export function judgeProbes(facts: BoardFacts): Finding[] {
  if (facts.readings === 0) return [];
  const all = together(facts);
  return facts.probes.flatMap((probe) => judgeProbe(probe, all));
}

/** A probe with a figure, and how the probes stand to each other. */
interface Together {
  junctionC: number | null;
  crossed: ReadonlySet<string>;
  /** The others of a probe that can be compared with it: not crossed, and not just warmed by hand. */
  beside(name: string): number[];
}

function together({ probes, coldJunction }: BoardFacts): Together {
  const junctionC = coldJunction.lastC;
  const reading = probes.flatMap((probe) =>
    probe.lastC === null || isNoisy(probe)
      ? []
      : [{ name: probe.name, tempC: probe.lastC, still: !isMoved(probe) }],
  );
  const crossed = new Set(
    reading.flatMap(({ name, tempC }) => {
      const others = reading.filter((other) => other.name !== name).map((other) => other.tempC);
      return junctionC !== null && isMirrored(tempC, others, junctionC) ? [name] : [];
    }),
  );
  const comparable = reading.filter(({ name, still }) => still && !crossed.has(name));
  return {
    junctionC,
    crossed,
    beside: (of) => comparable.filter(({ name }) => name !== of).map(({ tempC }) => tempC),
  };
}

function judgeProbe(probe: ProbeFacts, all: Together): Finding[] {
  const { mind, fine } = aboutOf(probe.name);
  const { lastC, readings } = probe;
  const cold = probe.faults['too-cold'] ?? 0;
  if (cold > 0 && cold === readings)
    return [mind('too-cold', `${TOO_COLD_FOR_B}: whether it works shows only once the kiln is hot.`)];
  const broken = faultOf(probe);
  if (broken !== null || lastC === null) return broken === null ? [] : [broken];
  // Where a probe stands that jumps about cannot be said.
  const wrong = [...noise(probe), ...(isNoisy(probe) ? [] : place(probe, lastC, all))];
  if (wrong.length > 0) return wrong;
  return feltWarmth(probe)
    ? [
        fine(
          'warms',
          `reads ${heatInWords(lastC)}, and went up by ${differenceInWords(probe.roseC ?? 0)}: if that was your hand at its tip, its wires are right.`,
        ),
      ]
    : [fine('steady', `reads ${heatInWords(lastC)}, steady.`)];
}

function faultOf({ name, faults, readings }: ProbeFacts): Finding | null {
  const { mend } = aboutOf(name);
  const real = Object.entries(faults).filter(([why]) => why !== 'too-cold');
  const [worst] = real.sort(([, a], [, b]) => b - a);
  if (worst === undefined) return null;
  const [why, count] = worst;
  // The board's own temperature is the board's affair, and said there once for all.
  if (why === 'no-cold-junction') return null;
  if (count < readings * FAULTY_SHARE)
    return mend('loose', `gave nothing ${count} times in ${readings} readings: ${FAULT_WORDS.loose}`);
  const words = FAULT_WORDS[why as Exclude<NoTemperature, 'too-cold'>] ?? FAULT_WORDS.loose;
  return mend(why, words);
}

function isNoisy({ noiseC }: Pick<ProbeFacts, 'noiseC'>): boolean {
  return noiseC !== null && noiseC >= NOISY_C;
}

function noise({ name, noiseC }: ProbeFacts): Finding[] {
  const { mend, mind } = aboutOf(name);
  if (noiseC === null || noiseC < RESTLESS_C) return [];
  const size = `a reading is off by some ${differenceInWords(noiseC)}`;
  return isNoisy({ noiseC })
    ? [
        mend(
          'noisy',
          `jumps about, ${size}: tighten its screws, and keep its wires away from motors and mains.`,
        ),
      ]
    : [mind('restless', `is restless, ${size}: keep its wires away from motors and mains.`)];
}

/** Up or down by more than its noise makes. */
function moved(byC: number | null, { noiseC }: ProbeFacts): boolean {
  return byC !== null && byC > Math.max(MOVED_C, MOVED_NOISES * (noiseC ?? 0));
}

function feltWarmth(probe: ProbeFacts): boolean {
  return moved(probe.roseC, probe);
}

function isMoved(probe: ProbeFacts): boolean {
  return feltWarmth(probe) || moved(probe.fellC, probe);
}

/** Where it stands beside the others, beside the board, and beside itself a minute ago. */
function place(probe: ProbeFacts, lastC: number, { junctionC, crossed, beside }: Together): Finding[] {
  const { mend, mind } = aboutOf(probe.name);
  if (junctionC !== null && crossed.has(probe.name))
    return [
      mend(
        'crossed',
        `reads ${heatInWords(lastC)}, as far ${lastC < junctionC ? 'below' : 'above'} the board's own temperature as the others are on the other side: its two wires are likely crossed. Swap them.`,
      ),
    ];
  // A tip in a warm hand stands apart for a good reason.
  if (feltWarmth(probe)) return [];
  if (moved(probe.fellC, probe))
    return [
      mend(
        'fell',
        `went down by ${differenceInWords(probe.fellC ?? 0)}: if you warmed its tip, its two wires are crossed. Let it rest a minute and warm it again: it must go up.`,
      ),
    ];
  const others = beside(probe.name);
  const othersC = median(others);
  if (othersC !== null && isApart(lastC, others, junctionC))
    return [
      mend(
        'apart',
        `reads ${heatInWords(lastC)}, and the others about ${heatInWords(othersC)}: in a cold kiln they should agree. Look at its plug and its type.`,
      ),
    ];
  if (othersC === null && junctionC !== null && lastC < junctionC - COLDER_THAN_BOARD_C)
    return [
      mind(
        'colder',
        `reads ${heatInWords(lastC)}, much colder than the board: if the kiln is not, its two wires are crossed. Warm its tip: it must go up.`,
      ),
    ];
  return [];
}

/**
 * A couple with crossed wires reads 2 Tcj - T: as far on the wrong side of the cold junction as the kiln is on the
 * right one. Of two probes that mirror each other the lower one is it, for a kiln is seldom the colder of the two.
 */
function isMirrored(tempC: number, others: readonly number[], junctionC: number): boolean {
  const othersC = median(others);
  if (othersC === null || (others.length === 1 && tempC > junctionC)) return false;
  const kilnC = othersC - junctionC;
  if (Math.abs(kilnC) < MIRROR_FROM_C) return false;
  return Math.abs(tempC - (junctionC - kilnC)) < Math.abs(tempC - othersC) / 2;
}

/** Most of three or more are right; of two that differ, the one further from the board is the likelier to be wrong. */
function isApart(tempC: number, others: readonly number[], junctionC: number | null): boolean {
  const [other] = others;
  const middleC = median([tempC, ...others]);
  if (other === undefined || middleC === null || middleC > COLD_KILN_C) return false;
  if (others.length > 1) return Math.abs(tempC - middleC) > APART_C;
  if (Math.abs(tempC - other) <= APART_C) return false;
  return junctionC === null || Math.abs(tempC - junctionC) >= Math.abs(other - junctionC);
}
