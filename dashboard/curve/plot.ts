/** The curve itself: a plot over the long-lived columns, redrawn at most once a frame. */
import uPlot from 'uplot';
import { SAY } from '../words.ts';
import { heatWords, midnightBefore, tempMarks, timeMarks, timeWords } from './axis.ts';
import type { Columns } from './columns.ts';
import { endLabels, namesFit } from './end-labels.ts';
import { type Ink, readInk } from './ink.ts';
import { probeLine } from './line-styles.ts';
import { drawBefore, drawBehind, ROWS_PX, sheetOf } from './marks.ts';
import { heightOf, type Scene } from './scene.ts';

export interface CurvePlot {
  show(scene: Scene): void;
  /** Moves the reading line by so many screen pixels; from the newest point if it stands nowhere. */
  step(px: number): void;
  destroy(): void;
}

export interface PlotParts {
  host: HTMLElement;
  /** The row under the reading line, or null where there is none. */
  read(row: number | null): void;
  /** A stretch was drawn out with the mouse. */
  stretch(from: number, to: number): void;
}

/** The kiln's own line is drawn last, over the probes. */
function dataOf(columns: Columns): uPlot.AlignedData {
  return [columns.at, ...columns.probes.map(({ tempC }) => tempC), columns.kiln];
}

export function makePlot(parts: PlotParts, first: Scene): CurvePlot {
  let scene = first;
  let plot: uPlot | null = null;
  let made = '';
  let frame = 0;
  let ink = readInk();

  const signature = () =>
    [scene.unit, ink.ground, ink.font, ...scene.columns.probes.map(({ probe }) => probe)].join('|');

  const draw = () => {
    frame = 0;
    ink = readInk();
    const wanted = signature();
    if (!plot || made !== wanted) {
      plot?.destroy();
      parts.host.replaceChildren();
      plot = build(parts, () => scene, ink);
      made = wanted;
    }
    plot.batch(() => {
      plot?.setData(dataOf(scene.columns), false);
      plot?.setScale('x', { min: scene.from, max: scene.to });
    });
  };

  const ask = () => {
    if (frame === 0) frame = requestAnimationFrame(draw);
  };

  const resized = new ResizeObserver(() => {
    const { width, height } = sizeOf(parts.host);
    if (plot && (plot.width !== width || plot.height !== height)) plot.setSize({ width, height });
  });
  resized.observe(parts.host);
  // Letters that were measured before the face had come would stay as they were.
  void document.fonts?.ready.then(ask);
  ask();

  return {
    show(next) {
      scene = next;
      ask();
    },
    step(px) {
      if (!plot) return;
      const standing = plot.cursor.left ?? -1;
      const newest = plot.valToPos(Math.min(scene.to, scene.columns.at.at(-1) ?? scene.to), 'x');
      const left = Math.min(
        Math.max(0, (standing < 0 ? newest : standing) + px),
        plot.bbox.width / (window.devicePixelRatio || 1),
      );
      plot.setCursor({ left, top: 10 });
    },
    destroy() {
      cancelAnimationFrame(frame);
      resized.disconnect();
      plot?.destroy();
    },
  };
}

function sizeOf(host: HTMLElement): { width: number; height: number } {
  return { width: Math.max(200, host.clientWidth), height: Math.max(260, host.clientHeight) };
}

function build(parts: PlotParts, sceneNow: () => Scene, ink: Ink): uPlot {
  const first = sceneNow();
  const labels = [...first.columns.probes.map(({ probe }) => probe), SAY.kilnLine];
  const probeCount = first.columns.probes.length;
  const widest = Math.max(...labels.map((label) => label.length));
  const right = Math.min(110, 18 + widest * ink.sizePx * 0.56);
  const labelRoom = (u: uPlot) => (namesFit(u.width) ? right : 12);
  const options: uPlot.Options = {
    ...sizeOf(parts.host),
    ms: 1,
    padding: [6, (u) => roomRight(u, sceneNow(), labelRoom(u)), 0, 0],
    legend: { show: false },
    scales: {
      x: { time: false, auto: false },
      y: { range: (u) => rangeShown(u, sceneNow()) },
    },
    axes: [timeAxis(sceneNow, ink), heatAxis(sceneNow, ink)],
    series: [
      {},
      ...first.columns.probes.map((_, index) => {
        const { dash, colourIndex } = probeLine(index);
        return lineOf(ink.probes[colourIndex] ?? ink.ink, 1.25, dash);
      }),
      lineOf(ink.kiln, 2.75, []),
    ],
    cursor: { y: false, points: { size: 8 }, drag: { x: true, y: false, setScale: false, dist: 12 } },
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
          parts.stretch(from, to);
        },
      ],
      ready: [(u) => followFinger(u)],
    },
  };
  return new uPlot(options, dataOf(first.columns), parts.host);
}

/** Room for the names at the lines' ends, less what the time ahead leaves free there already. */
function roomRight(u: uPlot, scene: Scene, wanted: number): number {
  const newest = scene.columns.at.at(-1) ?? scene.to;
  const ahead = Math.max(0, scene.to - newest) / (scene.to - scene.from);
  return Math.max(10, wanted - ahead * (u.width - wanted));
}

function lineOf(stroke: string, width: number, dash: number[]): uPlot.Series {
  return { stroke, width, dash, spanGaps: false, points: { show: false } };
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
      const value = u.data[series]?.[row];
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
    size: Math.ceil(ink.sizePx * 3.9),
    grid: { stroke: ink.rule, width: 0.5 },
    ticks: { show: false },
    splits: (u, _axis, min, max) => {
      const most = Math.floor(u.bbox.height / (window.devicePixelRatio || 1) / 52);
      return tempMarks(min, max, sceneNow().unit, most);
    },
    values: (_u, splits) => heatWords(splits, sceneNow().unit),
  };
}

/** A finger has no way to leave the curve as a mouse has: after this the reading line goes, and the newest is read again. */
const FINGER_GONE_AFTER_MS = 20_000;

/** A finger that is drawn along the curve moves the reading line; up and down still scrolls the page. */
function followFinger(u: uPlot): void {
  let timer = 0;
  const letGo = () => u.setCursor({ left: -10, top: -10 });
  const touched = (event: PointerEvent) => {
    if (event.pointerType === 'mouse') return;
    clearTimeout(timer);
    timer = window.setTimeout(letGo, FINGER_GONE_AFTER_MS);
    const box = u.over.getBoundingClientRect();
    u.setCursor({ left: event.clientX - box.left, top: 10 });
  };
  u.over.addEventListener('pointerdown', touched);
  u.over.addEventListener('pointermove', touched);
  u.hooks.destroy = [...(u.hooks.destroy ?? []), () => clearTimeout(timer)];
}
