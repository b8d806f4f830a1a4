/** Holds the plot's canvas in the page: made once, shown the newest scene after each rendering. */
import { useEffect, useRef } from 'preact/hooks';
import { type CurvePlot, makePlot } from '../curve/plot.ts';
import type { Scene } from '../curve/scene.ts';
import { SAY } from '../words.ts';

interface Props {
  scene: Scene;
  /** The row that is read, or null; and how many rows there are. */
  row: number | null;
  rows: number;
  /** That row in words. */
  words: string;
  onRead(row: number | null): void;
  onStretch(from: number, to: number): void;
}

/** One press of an arrow key moves the reading line by so much, CSS px. */
const STEP_PX = 4;

export function CurveHost(props: Props) {
  const host = useRef<HTMLDivElement>(null);
  const plot = useRef<CurvePlot | null>(null);
  const latest = useRef(props);
  latest.current = props;

  useEffect(() => {
    if (!host.current) return;
    const made = makePlot(
      {
        host: host.current,
        read: (row) => latest.current.onRead(row),
        stretch: (from, to) => latest.current.onStretch(from, to),
      },
      latest.current.scene,
    );
    plot.current = made;
    return () => {
      plot.current = null;
      made.destroy();
    };
  }, []);
  useEffect(() => plot.current?.show(props.scene));

  const last = Math.max(0, props.rows - 1);
  return (
    <div
      ref={host}
      class="curve-host"
      role="slider"
      tabIndex={0}
      aria-label={SAY.curveLabel}
      aria-valuenow={props.row ?? last}
      aria-valuemin={0}
      aria-valuemax={last}
      aria-valuetext={props.words}
      onKeyDown={(event) => {
        const steps: Record<string, number> = { ArrowLeft: -STEP_PX, ArrowRight: STEP_PX };
        const step = steps[event.key];
        if (step === undefined) return;
        event.preventDefault();
        plot.current?.step(step);
      }}
    />
  );
}
