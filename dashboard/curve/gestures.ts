/**
 * Hands on the curve. One finger reads it, two bring it closer or move it; with a mouse, a stretch is drawn out, the
 * wheel brings it closer while Ctrl is held (as a trackpad's pinch does by itself), and sideways or with Shift it moves
 * it: a wheel alone still scrolls the page.
 */
import type uPlot from 'uplot';
import { moved, pinched, type Range, type Stretch, type Whole, zoomed } from './view.ts';

export interface Looked {
  /** What is shown now, and all that there is to show. */
  shown(): Stretch;
  all(): Whole;
  look(range: Range): void;
}

/** A notch of a wheel is about 100 px, a pinch on a trackpad a few: so much closer a pixel. */
const CLOSER_A_PX = 0.004;
const PX_A_LINE = 16;

/** A finger has no way to leave the curve as a mouse has: after this the reading line goes, and the newest is read again. */
const FINGER_GONE_AFTER_MS = 20_000;

function pixels(event: WheelEvent, delta: number): number {
  return event.deltaMode === WheelEvent.DOM_DELTA_LINE ? delta * PX_A_LINE : delta;
}

function followWheel(u: uPlot, looked: Looked): void {
  const turned = (event: WheelEvent) => {
    const box = u.over.getBoundingClientRect();
    const shown = looked.shown();
    const msPerPx = (shown.to - shown.from) / Math.max(1, box.width);
    if (event.ctrlKey || event.metaKey) {
      event.preventDefault();
      const atMs = shown.from + (event.clientX - box.left) * msPerPx;
      looked.look(zoomed(shown, looked.all(), atMs, Math.exp(pixels(event, event.deltaY) * CLOSER_A_PX)));
      return;
    }
    const sideways = event.shiftKey && event.deltaX === 0 ? event.deltaY : event.deltaX;
    if (Math.abs(sideways) <= Math.abs(event.shiftKey ? 0 : event.deltaY)) return;
    event.preventDefault();
    looked.look(moved(shown, looked.all(), pixels(event, sideways) * msPerPx));
  };
  u.over.addEventListener('wheel', turned, { passive: false });
}

/** One finger drawn along the curve moves the reading line, up and down still scrolls the page; two look closer. */
function followFingers(u: uPlot, looked: Looked): void {
  const down = new Map<number, number>();
  /** What was shown, and where the fingers were, when two of them came down. */
  let pinch: { shown: Stretch; from: [number, number] } | null = null;
  let timer = 0;
  const letGo = () => u.setCursor({ left: -10, top: -10 });
  const leftPx = (event: PointerEvent) => event.clientX - u.over.getBoundingClientRect().left;
  const pair = (): [number, number] | null => {
    const [a, b, ...more] = down.values();
    return a === undefined || b === undefined || more.length > 0 ? null : [a, b];
  };
  const touched = (event: PointerEvent) => {
    if (event.pointerType === 'mouse') return;
    down.set(event.pointerId, leftPx(event));
    const fingers = pair();
    clearTimeout(timer);
    if (fingers) {
      letGo();
      pinch ??= { shown: looked.shown(), from: fingers };
      const widthPx = Math.max(1, u.over.clientWidth);
      looked.look(pinched(pinch.shown, looked.all(), widthPx, pinch.from, fingers));
    } else if (down.size === 1) {
      timer = window.setTimeout(letGo, FINGER_GONE_AFTER_MS);
      u.setCursor({ left: leftPx(event), top: 10 });
    }
  };
  const lifted = (event: PointerEvent) => {
    down.delete(event.pointerId);
    pinch = null;
  };
  u.over.addEventListener('pointerdown', touched);
  u.over.addEventListener('pointermove', (event) => {
    if (down.has(event.pointerId)) touched(event);
  });
  for (const end of ['pointerup', 'pointercancel', 'pointerleave'] as const)
    u.over.addEventListener(end, lifted);
  // Two fingers are ours; one finger up and down is the page's.
  u.over.addEventListener(
    'touchmove',
    (event) => {
      if (event.touches.length > 1) event.preventDefault();
    },
    { passive: false },
  );
  u.hooks.destroy = [...(u.hooks.destroy ?? []), () => clearTimeout(timer)];
}

export function followHands(u: uPlot, looked: Looked): void {
  followWheel(u, looked);
  followFingers(u, looked);
}
