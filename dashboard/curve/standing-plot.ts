/** A plot that stands in the page: drawn at most once a frame, as large as its place, made anew when its looks change. */
import type uPlot from 'uplot';
import { type Ink, readInk } from './ink.ts';

export interface StandingPlot {
  /** Draws the newest in the next frame. */
  ask(): void;
  now(): uPlot | null;
  destroy(): void;
}

export interface Making {
  host: HTMLElement;
  leastHeightPx: number;
  /** What the looks depend on besides the ink: another answer, and the plot is made anew. */
  looks(): string;
  build(ink: Ink, size: { width: number; height: number }): uPlot;
  /** Brings the newest data and scales in. */
  update(plot: uPlot): void;
}

const LEAST_WIDTH_PX = 200;

export function standPlot({ host, leastHeightPx, looks, build, update }: Making): StandingPlot {
  let plot: uPlot | null = null;
  let made = '';
  let frame = 0;

  const size = () => ({
    width: Math.max(LEAST_WIDTH_PX, host.clientWidth),
    height: Math.max(leastHeightPx, host.clientHeight),
  });

  const draw = () => {
    frame = 0;
    const ink = readInk();
    const wanted = [ink.ground, ink.font, looks()].join('|');
    if (!plot || made !== wanted) {
      plot?.destroy();
      host.replaceChildren();
      plot = build(ink, size());
      made = wanted;
    }
    const standing = plot;
    standing.batch(() => update(standing));
  };

  const ask = () => {
    if (frame === 0) frame = requestAnimationFrame(draw);
  };

  const resized = new ResizeObserver(() => {
    const { width, height } = size();
    if (plot && (plot.width !== width || plot.height !== height)) plot.setSize({ width, height });
  });
  resized.observe(host);
  // Letters that were measured before the face had come would stay as they were.
  void document.fonts?.ready.then(ask);
  // Day turns to night while nothing new comes to be drawn.
  const dark = matchMedia('(prefers-color-scheme: dark)');
  dark.addEventListener('change', ask);
  ask();

  return {
    ask,
    now: () => plot,
    destroy() {
      cancelAnimationFrame(frame);
      resized.disconnect();
      dark.removeEventListener('change', ask);
      plot?.destroy();
    },
  };
}
