/** Where things lie on the sheet's drawing, in its own units: a thousand across. Pure. */
import type { SheetFacts } from './facts.ts';

export interface Frame {
  /** Epoch ms. */
  from: number;
  to: number;
  /** °C. */
  lowC: number;
  highC: number;
  left: number;
  right: number;
  top: number;
  bottom: number;
}

export function xOf({ from, to, left, right }: Frame, at: number): number {
  return left + ((at - from) / Math.max(1, to - from)) * (right - left);
}

export function yOf({ lowC, highC, top, bottom }: Frame, tempC: number): number {
  return bottom - ((tempC - lowC) / Math.max(1, highC - lowC)) * (bottom - top);
}

const short = (value: number) => Math.round(value * 10) / 10;

/**
 * A line through the cells as an SVG path. A null breaks it: nothing is drawn over a gap, and a cell between two gaps is a
 * dot. Empty where there is nothing to draw within the frame.
 */
export function linePath(
  frame: Frame,
  at: readonly number[],
  cells: readonly (number | null | undefined)[],
): string {
  let path = '';
  let down = false;
  at.forEach((time, row) => {
    const cell = cells[row];
    if (cell === undefined) return;
    if (cell === null || !Number.isFinite(cell) || time < frame.from || time > frame.to) {
      down = false;
      return;
    }
    const point = `${short(xOf(frame, time))} ${short(yOf(frame, cell))}`;
    // A line of no length with round ends is a dot.
    path += down ? `L${point}` : `M${point}l0 0`;
    down = true;
  });
  return path;
}

/** The cooling is drawn apart where it is longer than this part of the time before it: else it crowds the fire. */
const COOLING_APART = 0.5;
/** So much of the cooling stays on the first panel. */
const COOLING_SHOWN = 0.12;

/** The stretches to draw: the fire, and the whole with its cooling where that is long. */
export function stretches({ from, to, closedAt }: SheetFacts): {
  fire: { from: number; to: number };
  whole: { from: number; to: number } | null;
} {
  const all = { from, to: Math.max(to, from + 1) };
  if (closedAt === null || to - closedAt <= COOLING_APART * (closedAt - from))
    return { fire: all, whole: null };
  return { fire: { from, to: closedAt + COOLING_SHOWN * (closedAt - from) }, whole: all };
}
