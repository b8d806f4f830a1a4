/** The curve itself: a plot over the long-lived columns, redrawn at most once a frame. */
import uPlot from 'uplot';
import { SAY } from '../words.ts';
import { heatWords, midnightBefore, tempMarks, timeMarks, timeWords } from './axis.ts';
import type { Columns } from './columns.ts';
import { heatAxisPx, lineNames, roomRight } from './edges.ts';
import { endLabels } from './end-labels.ts';
import { followHands } from './gestures.ts';
import type { Ink } from './ink.ts';
import { probeLine } from './line-styles.ts';
import { drawBefore, drawBehind, ROWS_PX, sheetOf } from './marks.ts';
import { heightOf, type Scene } from './scene.ts';
import { standPlot } from './standing-plot.ts';
import type { Range } from './view.ts';

export interface CurvePlot {
  show(scene: Scene): void;
  /** Moves the reading line by so many screen pixels; from the newest point if it stands nowhere. */
  step(px: number): void;
  destroy(): void;
}

export interface PlotParts {
  host: HTMLElement;
  /** Plots of one key share their reading line. */
  syncKey: string;
  /** The row under the reading line, or null where there is none. */
  read(row: number | null): void;
  /** Another stretch of time is to be looked at. */
  look(range: Range): void;
}

/** The kiln's own line is drawn last, over the probes. */
function dataOf(columns: Columns): uPlot.AlignedData {
  return [columns.at, ...columns.probes.map(({ tempC }) => tempC), columns.kiln];
}

export function makePlot(parts: PlotParts, first: Scene): CurvePlot {
  let scene = first;
  const standing = standPlot({
    host: parts.host,
    leastHeightPx: 260,
    looks: () => [scene.unit, ...lineNames(scene), 'off', ...scene.hidden].join('|'),
    build: (ink, size) => build(parts, () => scene, ink, size),
    update: (plot) => {
      plot.setData(dataOf(scene.columns), false);
      plot.setScale('x', { min: scene.from, max: scene.to });
    },
  });
  return {
    show(next) {
      scene = next;
      standing.ask();
    },
    step(px) {
      const plot = standing.now();
      if (!plot) return;
      const at = plot.cursor.left ?? -1;
      const newest = plot.valToPos(Math.min(scene.to, scene.columns.at.at(-1) ?? scene.to), 'x');
      const left = Math.min(
        Math.max(0, (at < 0 ? newest : at) + px),
        plot.bbox.width / (window.devicePixelRatio || 1),
      );
      plot.setCursor({ left, top: 10 });
    },
    destroy: standing.destroy,
  };
}

function build(
  parts: PlotParts,
  sceneNow: () => Scene,
  ink: Ink,
  size: { width: number; height: number },
): uPlot {
  const first = sceneNow();
  const labels = lineNames(first);
  const probeCount = first.columns.probes.length;
  const options: uPlot.Options = {
    ...size,
    ms: 1,
    padding: [6, (u) => roomRight(u, sceneNow(), ink), 0, 0],
    legend: { show: false },
    scales: {
      x: { time: false, auto: false },
      y: { range: (u) => rangeShown(u, sceneNow()) },
    },
    axes: [timeAxis(sceneNow, ink), heatAxis(sceneNow, ink)],
    series: [
      {},
      ...first.columns.probes.map(({ probe }, index) => {
        const { dash, colourIndex } = probeLine(index);
        return lineOf(ink.probes[colourIndex] ?? ink.ink, 1.25, dash, !first.hidden.has(probe));
      }),
      lineOf(ink.kiln, 2.75, [], !first.hidden.has(SAY.kilnLine)),
    ],
    cursor: {
      y: false,
      points: { size: 8 },
      drag: { x: true, y: false, setScale: false, dist: 12 },
      sync: { key: parts.syncKey },
    },
    hooks: {
      drawClear: [(u) => drawBehind(sheetOf(u, sceneNow(), ink))],
      draw: [
        (u) => {
          drawBefore(sheetOf(u, sceneNow(), ink));
          endLabels(u, sceneNow(), ink, labels, probeCount);
        },
      ],
      setCursor: [(u) => parts.read(u.cursor.idx ?? null)],
      setSelect: [
        (u) => {
          if (u.select.width < 12) return;
          const from = u.posToVal(u.select.left, 'x');
          const to = u.posToVal(u.select.left + u.select.width, 'x');
          u.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
          parts.look({ from, to });
        },
      ],
      ready: [
        (u) =>
          followHands(u, {
            shown: () => ({ from: sceneNow().from, to: sceneNow().to }),
            all: () => sceneNow().whole,
            look: parts.look,
          }),
      ],
    },
  };
  return new uPlot(options, dataOf(first.columns), parts.host);
}

function lineOf(stroke: string, width: number, dash: number[], show: boolean): uPlot.Series {
  return { show, stroke, width, dash, spanGaps: false, points: { show: false } };
}

/** Least and greatest of what is shown, over all lines. */
function rangeShown(u: uPlot, scene: Scene): [number, number] {
  let low: number | null = null;
  let high: number | null = null;
  const times = u.data[0];
  for (let row = 0; row < times.length; row += 1) {
    const at = times[row] ?? 0;
    if (at < scene.from || at > scene.to) continue;
    for (let series = 1; series < u.data.length; series += 1) {
      const value = u.series[series]?.show === false ? null : u.data[series]?.[row];
      if (typeof value !== 'number') continue;
      if (low === null || value < low) low = value;
      if (high === null || value > high) high = value;
    }
  }
  return heightOf(scene, low, high);
}

function timeAxis(sceneNow: () => Scene, ink: Ink): uPlot.Axis {
  return {
    font: ink.font,
    stroke: ink.ink,
    lineGap: 1.2,
    gap: ROWS_PX + 2,
    size: ROWS_PX + 8 + Math.ceil(ink.sizePx * 2.5),
    grid: { show: false },
    ticks: { show: false },
    splits: (u, _axis, min, max) => {
      const origin = sceneNow().litAtMs ?? midnightBefore(min);
      const ratio = window.devicePixelRatio || 1;
      const widthPx = u.bbox.width / ratio;
      const roomRightPx = u.width - u.bbox.left / ratio - widthPx;
      // A mark whose words would be cut off at the edge is left out.
      const last = max - ((max - min) * Math.max(0, ink.sizePx * 2.4 - roomRightPx)) / widthPx;
      return timeMarks(min, last, origin, Math.floor(widthPx / (ink.sizePx * 5)));
    },
    values: (_u, splits) => splits.map((at) => timeWords(at, sceneNow().litAtMs)),
  };
}

function heatAxis(sceneNow: () => Scene, ink: Ink): uPlot.Axis {
  return {
    font: ink.font,
    stroke: ink.ink,
    gap: 5,
    size: heatAxisPx(ink),
    grid: { stroke: ink.rule, width: 0.5 },
    ticks: { show: false },
    splits: (u, _axis, min, max) => {
      const most = Math.floor(u.bbox.height / (window.devicePixelRatio || 1) / 52);
      return tempMarks(min, max, sceneNow().unit, most);
    },
    values: (_u, splits) => heatWords(splits, sceneNow().unit),
  };
}
