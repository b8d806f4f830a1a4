/** How much room the curve leaves at its edges: the strip under it leaves the same, so that their times agree. */
import type uPlot from 'uplot';
import { SAY } from '../words.ts';
import { namesFit } from './end-labels.ts';
import type { Ink } from './ink.ts';
import type { Scene } from './scene.ts';

const NO_NAMES_PX = 12;
const MOST_NAMES_PX = 110;
/** Width of a letter, in its size: about. */
const LETTER = 0.56;

/** Names of the lines, in the order in which they are drawn. */
export function lineNames({ columns }: Scene): string[] {
  return [...columns.probes.map(({ probe }) => probe), SAY.kilnLine];
}

/** Room for the names at the lines' ends, less what the time ahead leaves free there already. CSS px. */
export function roomRight(u: uPlot, scene: Scene, ink: Ink): number {
  const widest = Math.max(...lineNames(scene).map((name) => name.length));
  const wanted = namesFit(u.width) ? Math.min(MOST_NAMES_PX, 18 + widest * ink.sizePx * LETTER) : NO_NAMES_PX;
  const newest = scene.columns.at.at(-1) ?? scene.to;
  const ahead = Math.max(0, scene.to - newest) / (scene.to - scene.from);
  return Math.max(10, wanted - ahead * (u.width - wanted));
}

/** Room for the figures at the left edge, CSS px. */
export function heatAxisPx(ink: Ink): number {
  return Math.ceil(ink.sizePx * 3.9);
}
