/** The strip under the curve: the climb over the same time, how sure it is, and the climbs that the plan allows. */
import uPlot from 'uplot';
import { allowedClimb, climbTargetAt } from '../../protocol/plan-limits.ts';
import type { Stage } from '../../protocol/stages.ts';
import { cFromF, fFromC } from '../../protocol/units.ts';
import { type Cell, countUpTo } from './columns.ts';
import { heatAxisPx, roomRight } from './edges.ts';
import type { Ink } from './ink.ts';
import type { Scene } from './scene.ts';
import { standPlot } from './standing-plot.ts';

/** Two-sided 90 % of the normal distribution: 'nine times in ten'. */
const NORMAL_90 = 1.645;
/** What is drawn at the least, and at the most: a start or a closing kiln would flatten all the rest. °C/h. */
const LEAST_RANGE_C_PER_H = [-20, 60] as const;
const MOST_RANGE_C_PER_H = [-250, 350] as const;
const STEPS = [10, 20, 25, 50, 100] as const;
const WIDEST_STEP = 200;
const LINE_APART_PX = 26;

export interface ClimbPlot {
  show(scene: Scene): void;
  destroy(): void;
}

function bound(climb: Cell, sd: Cell, side: -1 | 1): Cell {
  if (typeof climb !== 'number') return climb;
  return typeof sd === 'number' ? climb + side * NORMAL_90 * sd : null;
}

function dataOf({ columns }: Scene): uPlot.AlignedData {
  const { at, climbCPerH, climbSdCPerH } = columns;
  return [
    at,
    climbCPerH.map((climb, row) => bound(climb, climbSdCPerH[row], 1)),
    climbCPerH.map((climb, row) => bound(climb, climbSdCPerH[row], -1)),
    climbCPerH,
  ];
}

/** Least and greatest climb that is shown, °C/h. */
function rangeShown(scene: Scene): [number, number] {
  let [low, high]: [number, number] = [...LEAST_RANGE_C_PER_H];
  const { at, climbCPerH } = scene.columns;
  for (let row = countUpTo(at, scene.from - 1); row < at.length && (at[row] ?? 0) <= scene.to; row += 1) {
    const climb = climbCPerH[row];
    if (typeof climb !== 'number') continue;
    low = Math.min(low, climb);
    high = Math.max(high, climb);
  }
  const room = (high - low) * 0.15;
  return [Math.max(MOST_RANGE_C_PER_H[0], low - room), Math.min(MOST_RANGE_C_PER_H[1], high + room)];
}

function stageAt({ stages }: Scene, at: number): Stage {
  return stages.findLast(({ from }) => from <= at)?.stage ?? 'before';
}

/** Shades, row by row, what the plan allows at that heat. */
function drawAllowed(u: uPlot, scene: Scene, ink: Ink): void {
  const { ctx } = u;
  const { at, kiln } = scene.columns;
  const { left, top, width, height } = u.bbox;
  ctx.save();
  ctx.beginPath();
  ctx.rect(left, top, width, height);
  ctx.clip();
  ctx.fillStyle = ink.tint;
  const y = (climb: number) => Math.min(top + height, Math.max(top, u.valToPos(climb, 'y', true)));
  for (let row = Math.max(0, countUpTo(at, scene.from) - 1); row + 1 < at.length; row += 1) {
    const from = at[row] ?? 0;
    const level = kiln[row];
    if (from > scene.to) break;
    if (typeof level !== 'number') continue;
    const allowed = allowedClimb(scene.plan, stageAt(scene, from), level);
    if (allowed === null) continue;
    const upper = allowed.mostCPerH === null ? top : y(allowed.mostCPerH);
    const lower = allowed.leastCPerH === null ? top + height : y(allowed.leastCPerH);
    const x = Math.floor(u.valToPos(from, 'x', true));
    ctx.fillRect(x, upper, Math.ceil(u.valToPos(at[row + 1] ?? from, 'x', true)) - x, lower - upper);
  }
  ctx.restore();
}

/** The plan's targets: a dotted line at each heat's own. */
function drawTargets(u: uPlot, scene: Scene, ink: Ink): void {
  const { ctx } = u;
  const ratio = window.devicePixelRatio || 1;
  const { at, kiln } = scene.columns;
  ctx.save();
  ctx.beginPath();
  ctx.rect(u.bbox.left, u.bbox.top, u.bbox.width, u.bbox.height);
  ctx.clip();
  ctx.strokeStyle = ink.soft;
  ctx.lineWidth = 1.5 * ratio;
  ctx.setLineDash([2 * ratio, 4 * ratio]);
  ctx.beginPath();
  let before: number | null = null;
  for (let row = Math.max(0, countUpTo(at, scene.from) - 1); row < at.length; row += 1) {
    const time = at[row] ?? 0;
    const level = kiln[row];
    if (time > scene.to) break;
    if (level === undefined) continue;
    const target = level === null ? null : climbTargetAt(scene.plan, stageAt(scene, time), level);
    if (target !== null) {
      const [x, y] = [u.valToPos(time, 'x', true), u.valToPos(target, 'y', true)];
      if (target === before) ctx.lineTo(x, y);
      else ctx.moveTo(x, y);
    }
    before = target;
  }
  ctx.stroke();
  ctx.restore();
}

function drawZero(u: uPlot, ink: Ink): void {
  const y = Math.round(u.valToPos(0, 'y', true));
  u.ctx.save();
  u.ctx.strokeStyle = ink.soft;
  u.ctx.lineWidth = window.devicePixelRatio || 1;
  u.ctx.beginPath();
  u.ctx.moveTo(u.bbox.left, y);
  u.ctx.lineTo(u.bbox.left + u.bbox.width, y);
  u.ctx.stroke();
  u.ctx.restore();
}

/** A climb of the chosen unit an hour: a difference, so without the offset of a temperature. */
function inUnit(climbCPerH: number, unit: Scene['unit']): number {
  return unit === 'F' ? fFromC(climbCPerH) - fFromC(0) : climbCPerH;
}

function marks(scene: Scene, low: number, high: number, most: number): number[] {
  const perStep = inUnit(high - low, scene.unit) / Math.max(1, most);
  const step = STEPS.find((one) => one >= perStep) ?? WIDEST_STEP;
  const stepC = scene.unit === 'F' ? cFromF(step) - cFromF(0) : step;
  const found: number[] = [];
  for (let k = Math.ceil(low / stepC); k * stepC <= high; k += 1) found.push(k * stepC);
  return found;
}

function build(
  sceneNow: () => Scene,
  ink: Ink,
  size: { width: number; height: number },
  syncKey: string,
  host: HTMLElement,
): uPlot {
  const line = (stroke: string, width: number): uPlot.Series => ({
    stroke,
    width,
    spanGaps: false,
    points: { show: false },
  });
  const options: uPlot.Options = {
    ...size,
    ms: 1,
    padding: [4, (u) => roomRight(u, sceneNow(), ink), 4, 0],
    legend: { show: false },
    scales: { x: { time: false, auto: false }, y: { range: () => rangeShown(sceneNow()) } },
    axes: [
      { show: false },
      {
        font: ink.font,
        stroke: ink.ink,
        gap: 5,
        size: heatAxisPx(ink),
        grid: { show: false },
        ticks: { show: false },
        splits: (u, _axis, min, max) =>
          marks(sceneNow(), min, max, u.bbox.height / (window.devicePixelRatio || 1) / LINE_APART_PX),
        values: (_u, splits) =>
          splits.map((climb) => {
            const figure = Math.round(inUnit(climb, sceneNow().unit));
            return figure > 0 ? `+${figure}` : String(figure).replace('-', '\u2212');
          }),
      },
    ],
    series: [{}, line('transparent', 0), line('transparent', 0), line(ink.kiln, 2)],
    bands: [{ series: [1, 2], fill: `${ink.fan}55` }],
    cursor: { y: false, points: { show: false }, drag: { x: false, y: false }, sync: { key: syncKey } },
    hooks: {
      drawClear: [(u) => drawAllowed(u, sceneNow(), ink)],
      drawAxes: [
        (u) => {
          drawZero(u, ink);
          drawTargets(u, sceneNow(), ink);
        },
      ],
    },
  };
  return new uPlot(options, dataOf(sceneNow()), host);
}

export function makeClimbPlot(host: HTMLElement, first: Scene, syncKey: string): ClimbPlot {
  let scene = first;
  const standing = standPlot({
    host,
    leastHeightPx: 80,
    looks: () => scene.unit,
    build: (ink, size) => build(() => scene, ink, size, syncKey, host),
    update: (plot) => {
      plot.setData(dataOf(scene), false);
      plot.setScale('x', { min: scene.from, max: scene.to });
    },
  });
  return {
    show(next) {
      scene = next;
      standing.ask();
    },
    destroy: standing.destroy,
  };
}
