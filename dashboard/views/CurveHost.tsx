/** Holds the canvases of the curve and of the climb under it: made once, shown the newest scene after each rendering. */
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';
import { type ClimbPlot, makeClimbPlot } from '../curve/climb-plot.ts';
import { type CurvePlot, makePlot } from '../curve/plot.ts';
import type { Scene } from '../curve/scene.ts';
import type { Range } from '../curve/view.ts';
import { CURVE } from '../words.ts';

interface Props {
  /** Of an element that tells the whole firing in words. */
  describedBy: string;
  scene: Scene;
  /** The row that is read, or null; and how many rows there are. */
  row: number | null;
  rows: number;
  /** That row in words. */
  words: string;
  onRead(row: number | null): void;
  onLook(range: Range): void;
  /** Closer (below 1) or wider by this factor; earlier (below 0) or later by this part of what is shown. */
  onCloser(factor: number): void;
  onAlong(part: number): void;
}

/** One press of an arrow key moves the reading line by so much, CSS px. */
const STEP_PX = 4;
const ALONG_PART = 0.25;
const CLOSER_BY = 0.7;

/** What a key does to what is shown; null for a key that is not ours. */
function keyMove(event: KeyboardEvent, props: Props, step: (px: number) => void): (() => void) | null {
  switch (event.key) {
    case 'ArrowLeft':
      return event.shiftKey ? () => props.onAlong(-ALONG_PART) : () => step(-STEP_PX);
    case 'ArrowRight':
      return event.shiftKey ? () => props.onAlong(ALONG_PART) : () => step(STEP_PX);
    case 'PageUp':
      return () => props.onAlong(-1);
    case 'PageDown':
      return () => props.onAlong(1);
    case '+':
    case '=':
      return () => props.onCloser(CLOSER_BY);
    case '-':
      return () => props.onCloser(1 / CLOSER_BY);
    case '0':
      return () => props.onLook('whole');
    default:
      return null;
  }
}

let made = 0;

export function CurveHost(props: Props) {
  const host = useRef<HTMLDivElement>(null);
  const climbHost = useRef<HTMLDivElement>(null);
  const plot = useRef<CurvePlot | null>(null);
  const climb = useRef<ClimbPlot | null>(null);
  const latest = useRef(props);
  latest.current = props;

  useEffect(() => {
    if (!host.current || !climbHost.current) return;
    made += 1;
    const syncKey = `curve-${made}`;
    const { scene } = latest.current;
    const curve = makePlot(
      {
        host: host.current,
        syncKey,
        read: (row) => latest.current.onRead(row),
        look: (range) => latest.current.onLook(range),
      },
      scene,
    );
    const strip = makeClimbPlot(climbHost.current, scene, syncKey);
    plot.current = curve;
    climb.current = strip;
    return () => {
      plot.current = null;
      climb.current = null;
      curve.destroy();
      strip.destroy();
    };
  }, []);
  // Before the next hand moves: a hand goes on from what is shown.
  useLayoutEffect(() => {
    plot.current?.show(props.scene);
    climb.current?.show(props.scene);
  });

  const last = Math.max(0, props.rows - 1);
  return (
    <>
      <div
        ref={host}
        class="curve-host"
        role="slider"
        tabIndex={0}
        aria-label={CURVE.label}
        aria-describedby={props.describedBy}
        aria-valuenow={props.row ?? last}
        aria-valuemin={0}
        aria-valuemax={last}
        aria-valuetext={props.words}
        onKeyDown={(event) => {
          if (event.ctrlKey || event.metaKey || event.altKey) return;
          const move = keyMove(event, props, (px) => plot.current?.step(px));
          if (!move) return;
          event.preventDefault();
          move();
        }}
      />
      <p class="climb-title">{CURVE.climb(props.scene.unit)}</p>
      <div ref={climbHost} class="climb-host" aria-hidden="true" />
    </>
  );
}
