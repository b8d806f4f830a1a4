/** One firing's curve among several: all on one scale of time since light-up and of heat, each in a panel of its own. */
import uPlot from 'uplot';
import type { Curve, StageSpan } from '../../protocol/firing-record.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { heatWords, hoursIn, tempMarks, timeMarks } from './axis.ts';
import { heatAxisPx } from './edges.ts';
import type { Ink } from './ink.ts';
import { standPlot } from './standing-plot.ts';

export interface BesideScene {
  curve: Curve;
  litAt: number;
  stages: readonly StageSpan[];
  stokes: readonly number[];
  salts: readonly number[];
  unit: TemperatureUnit;
  /** The scales that all panels share: ms since light-up, and °C. */
  fromMs: number;
  toMs: number;
  lowC: number;
  highC: number;
  /** Where the reading line stands, ms since light-up; null: nowhere. */
  readMs: number | null;
  /** The panel at the bottom tells the hours. */
  last: boolean;
}

export interface BesidePlot {
  show(scene: BesideScene): void;
  destroy(): void;
}

/** Strokes and squares under the curve, CSS px. */
const MARKS_PX = 20;
const STROKE_PX = 9;
const GRAIN_PX = 4;

/** `read`: the hand has moved to so many ms since light-up. */
export function besidePlot(host: HTMLElement, first: BesideScene, read: (ms: number) => void): BesidePlot {
  let scene = first;
  let own = false;
  const standing = standPlot({
    host,
    leastHeightPx: 130,
    looks: () => [scene.unit, scene.last].join('|'),
    build: (ink, size) =>
      build(
        host,
        () => scene,
        ink,
        size,
        (ms) => {
          if (!own) read(ms);
        },
      ),
    update: (plot) => {
      plot.setData(dataOf(scene), false);
      plot.setScale('x', { min: scene.fromMs, max: scene.toMs });
    },
  });
  const follow = () => {
    const plot = standing.now();
    if (!plot) return;
    own = true;
    const left = scene.readMs === null ? -10 : plot.valToPos(scene.readMs, 'x');
    if (Math.abs((plot.cursor.left ?? -10) - left) > 1) plot.setCursor({ left, top: 5 }, false);
    own = false;
  };
  return {
    show(next) {
      const drawn = ['curve', 'unit', 'fromMs', 'toMs', 'lowC', 'highC', 'last'] as const;
      const changed = drawn.some((part) => next[part] !== scene[part]);
      scene = next;
      if (changed) standing.ask();
      follow();
    },
    destroy: standing.destroy,
  };
}

function dataOf({ curve, litAt }: BesideScene): uPlot.AlignedData {
  return [curve.at.map((at) => at - litAt), curve.kiln];
}

function build(
  host: HTMLElement,
  sceneNow: () => BesideScene,
  ink: Ink,
  size: { width: number; height: number },
  read: (ms: number) => void,
): uPlot {
  const { last } = sceneNow();
  const options: uPlot.Options = {
    ...size,
    ms: 1,
    padding: [6, 12, last ? 0 : MARKS_PX, 0],
    legend: { show: false },
    scales: {
      x: { time: false, auto: false },
      y: { range: () => [sceneNow().lowC, sceneNow().highC] },
    },
    axes: [
      {
        show: last,
        font: ink.font,
        stroke: ink.ink,
        gap: MARKS_PX + 2,
        size: MARKS_PX + 8 + Math.ceil(ink.sizePx * 1.3),
        grid: { show: false },
        ticks: { show: false },
        splits: (u, _axis, min, max) =>
          timeMarks(
            min,
            max,
            0,
            Math.floor(u.bbox.width / (window.devicePixelRatio || 1) / (ink.sizePx * 4)),
          ),
        values: (_u, splits) => splits.map(sayHours),
      },
      {
        font: ink.font,
        stroke: ink.ink,
        gap: 5,
        size: heatAxisPx(ink),
        grid: { stroke: ink.rule, width: 0.5 },
        ticks: { show: false },
        splits: (u, _axis, min, max) =>
          tempMarks(
            min,
            max,
            sceneNow().unit,
            Math.floor(u.bbox.height / (window.devicePixelRatio || 1) / 40),
          ),
        values: (_u, splits) => heatWords(splits, sceneNow().unit),
      },
    ],
    series: [{}, { stroke: ink.kiln, width: 2.25, spanGaps: false, points: { show: false } }],
    cursor: { y: false, points: { size: 8 }, drag: { x: false, y: false } },
    hooks: {
      drawClear: [(u) => stageBands(u, sceneNow(), ink)],
      draw: [(u) => marks(u, sceneNow(), ink)],
      setCursor: [
        (u) => {
          const { left } = u.cursor;
          if (left !== undefined && left >= 0) read(u.posToVal(left, 'x'));
        },
      ],
    },
  };
  return new uPlot(options, dataOf(sceneNow()), host);
}

/** `12 h`, and from two days on `3 d 4 h`. */
function sayHours(ms: number): string {
  const minutes = Math.round(ms / 60_000);
  return `${minutes < 0 ? '\u2212' : ''}${hoursIn(Math.abs(minutes))}`;
}

function stageBands(u: uPlot, { curve, stages, litAt, fromMs, toMs }: BesideScene, ink: Ink): void {
  const { ctx } = u;
  // What is on now has no end yet: it is shown for as long as there is a curve.
  const lastAt = curve.at.at(-1) ?? litAt;
  const { top, height } = u.bbox;
  ctx.save();
  ctx.fillStyle = ink.tint;
  stages.forEach(({ from }, index) => {
    if (index % 2 === 0) return;
    const left = Math.max(fromMs, from - litAt);
    const right = Math.min(toMs, (stages[index + 1]?.from ?? lastAt) - litAt);
    if (right <= left) return;
    const x = u.valToPos(left, 'x', true);
    ctx.fillRect(x, top, u.valToPos(right, 'x', true) - x, height);
  });
  ctx.restore();
}

/** Stokes as strokes, salt as grains below them, under the curve. */
function marks(u: uPlot, { stokes, salts, litAt, fromMs, toMs }: BesideScene, ink: Ink): void {
  const { ctx } = u;
  const ratio = window.devicePixelRatio || 1;
  const y = u.bbox.top + u.bbox.height + 3 * ratio;
  const within = (at: number) => at - litAt >= fromMs && at - litAt <= toMs;
  ctx.save();
  ctx.setLineDash([]);
  ctx.strokeStyle = ink.ink;
  ctx.fillStyle = ink.ink;
  ctx.lineWidth = ratio;
  for (const at of stokes.filter(within)) {
    const x = Math.round(u.valToPos(at - litAt, 'x', true));
    ctx.beginPath();
    ctx.moveTo(x, y);
    ctx.lineTo(x, y + STROKE_PX * ratio);
    ctx.stroke();
  }
  const side = GRAIN_PX * ratio;
  for (const at of salts.filter(within))
    ctx.fillRect(u.valToPos(at - litAt, 'x', true) - side / 2, y + (STROKE_PX + 2) * ratio, side, side);
  ctx.restore();
}
