/** How the probes' lines are told apart without colour: by their dash and by the mark at their end. */

/** Dash lengths in CSS px; more probes than these begin again, with another colour and mark. */
const DASHES = [
  [7, 4],
  [2, 3],
  [12, 4, 2, 4],
  [5, 2],
] as const;
const MARKS = ['square', 'ring', 'triangle', 'diamond'] as const;
export type EndMark = (typeof MARKS)[number] | 'disc';

export interface LineStyle {
  dash: number[];
  mark: EndMark;
  colourIndex: number;
}

/** The style of the probe at this place in the hello. */
export function probeLine(index: number): LineStyle {
  const round = Math.floor(index / DASHES.length);
  return {
    dash: [...(DASHES[index % DASHES.length] ?? DASHES[0])],
    mark: MARKS[(index + round) % MARKS.length] ?? 'square',
    colourIndex: (index + 2 * round) % 4,
  };
}

/** Draws an end mark about a point, in device pixels. */
export function drawMark(
  ctx: CanvasRenderingContext2D,
  mark: EndMark,
  x: number,
  y: number,
  r: number,
): void {
  ctx.beginPath();
  if (mark === 'square') ctx.rect(x - r, y - r, 2 * r, 2 * r);
  else if (mark === 'disc' || mark === 'ring') ctx.arc(x, y, r, 0, 2 * Math.PI);
  else {
    ctx.moveTo(x, y - 1.25 * r);
    ctx.lineTo(x + 1.2 * r, mark === 'triangle' ? y + r : y);
    if (mark === 'diamond') ctx.lineTo(x, y + 1.25 * r);
    ctx.lineTo(x - 1.2 * r, mark === 'triangle' ? y + r : y);
    ctx.closePath();
  }
  if (mark === 'ring') ctx.stroke();
  else ctx.fill();
}
