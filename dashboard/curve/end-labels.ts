/** The names of the lines, written where the lines end; where the plot is narrow, their marks alone. */
import type uPlot from 'uplot';
import { spreadLabels } from './axis.ts';
import { deviceFont, type Ink } from './ink.ts';
import { drawMark, type EndMark, probeLine } from './line-styles.ts';
import type { Scene } from './scene.ts';

/** The newest point of a series that is shown; null if none. */
function lastPoint(u: uPlot, series: number, scene: Scene): { at: number; tempC: number } | null {
  const cells = u.data[series];
  const times = u.data[0];
  if (!cells) return null;
  for (let row = times.length - 1; row >= 0; row -= 1) {
    const at = times[row] ?? 0;
    if (at < scene.from) return null;
    const value = cells[row];
    if (at <= scene.to && typeof value === 'number') return { at, tempC: value };
  }
  return null;
}

/** Narrower than this the names would take the room of the lines: they stand under the curve. CSS px, our own choice. */
const NAMED_FROM_PX = 520;

export function namesFit(widthPx: number): boolean {
  return widthPx >= NAMED_FROM_PX;
}

/** Each line's name at its end, pushed apart where they would lie on each other. */
export function endLabels(u: uPlot, scene: Scene, ink: Ink, labels: string[], probeCount: number): void {
  const ratio = window.devicePixelRatio || 1;
  const { ctx } = u;
  const named = namesFit(u.width);
  const ends: { label: string; x: number; y: number; colour: string; mark: EndMark; bold: boolean }[] = [];
  for (let series = 1; series <= probeCount + 1; series += 1) {
    const point = u.series[series]?.show === false ? null : lastPoint(u, series, scene);
    if (!point) continue;
    const style = probeLine(series - 1);
    const kiln = series === probeCount + 1;
    ends.push({
      label: labels[series - 1] ?? '',
      x: u.valToPos(point.at, 'x', true),
      y: u.valToPos(point.tempC, 'y', true),
      colour: kiln ? ink.kiln : (ink.probes[style.colourIndex] ?? ink.ink),
      mark: kiln ? 'disc' : style.mark,
      bold: kiln,
    });
  }
  const apart = ink.sizePx * 1.15 * ratio;
  const bottom = u.bbox.top + u.bbox.height - apart / 2;
  const places = spreadLabels(
    ends.map(({ y }) => y),
    apart,
    u.bbox.top + apart,
    bottom,
  );
  ctx.save();
  ctx.setLineDash([]);
  ctx.textAlign = 'left';
  ctx.textBaseline = 'middle';
  ends.forEach(({ label, x, y, colour, mark, bold }, index) => {
    const labelY = places[index] ?? y;
    ctx.fillStyle = colour;
    ctx.strokeStyle = colour;
    ctx.lineWidth = 1.5 * ratio;
    drawMark(ctx, mark, x, y, (bold ? 4.5 : 3.5) * ratio);
    if (!named) return;
    ctx.lineWidth = ratio;
    ctx.beginPath();
    ctx.moveTo(x + 5 * ratio, y);
    ctx.lineTo(x + 12 * ratio, labelY);
    ctx.stroke();
    ctx.font = deviceFont(bold ? ink.boldFont : ink.font, ratio);
    ctx.lineWidth = 3 * ratio;
    ctx.strokeStyle = ink.ground;
    ctx.strokeText(label, x + 14 * ratio, labelY);
    ctx.fillText(label, x + 14 * ratio, labelY);
  });
  ctx.restore();
}
