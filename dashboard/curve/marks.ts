/** What lies on and under the curve besides its lines: stages, what people did, alerts, the fan of what is expected. */
import type uPlot from 'uplot';
import { GLOWS } from '../heat-colour.ts';
import { SAY, STAGE_WORDS } from '../words.ts';
import { crowds } from './crowds.ts';
import { deviceFont, type Ink } from './ink.ts';
import type { Scene } from './scene.ts';

/** Rows under the curve, CSS px: left hole, right hole, draws. */
export const ROW_PX = 22;
const ROW_GAP_PX = 7;
export const ROWS_PX = 3 * ROW_PX + ROW_GAP_PX;

interface Sheet {
  u: uPlot;
  ctx: CanvasRenderingContext2D;
  scene: Scene;
  ink: Ink;
  ratio: number;
  x(at: number): number;
  y(tempC: number): number;
}

export function sheetOf(u: uPlot, scene: Scene, ink: Ink): Sheet {
  return {
    u,
    ctx: u.ctx,
    scene,
    ink,
    ratio: window.devicePixelRatio || 1,
    x: (at) => u.valToPos(at, 'x', true),
    y: (tempC) => u.valToPos(tempC, 'y', true),
  };
}

/** Behind everything: stage bands, the glow scale, the fan, the heats that matter. Clipped to the plot. */
export function drawBehind(sheet: Sheet): void {
  const { ctx, u } = sheet;
  const { left, top, width, height } = u.bbox;
  ctx.save();
  ctx.beginPath();
  ctx.rect(left, top, width, height);
  ctx.clip();
  stageBands(sheet);
  heatLine(sheet, sheet.scene.saltingStartC, SAY.saltingHeat, 'top');
  heatLine(sheet, sheet.scene.topC, SAY.topHeat, 'bottom');
  fan(sheet);
  ctx.restore();
  glowScale(sheet);
}

/** Before everything: stage names, alerts, and the rows under the curve. */
export function drawBefore(sheet: Sheet): void {
  const { ctx } = sheet;
  ctx.save();
  // The last line's dash is still set.
  ctx.setLineDash([]);
  stageNames(sheet);
  alertMarks(sheet);
  rows(sheet);
  ctx.restore();
}

function spans({ scene }: Sheet): { from: number; to: number; words: string; odd: boolean }[] {
  return scene.stages
    .map((span, index) => ({
      from: Math.max(span.from, scene.from),
      to: Math.min(scene.stages[index + 1]?.from ?? scene.to, scene.to),
      words: STAGE_WORDS[span.stage],
      odd: index % 2 === 1,
    }))
    .filter(({ from, to }) => to > from);
}

function stageBands(sheet: Sheet): void {
  const { ctx, u, ink } = sheet;
  for (const span of spans(sheet)) {
    if (!span.odd) continue;
    const left = sheet.x(span.from);
    ctx.fillStyle = ink.tint;
    ctx.fillRect(left, u.bbox.top, sheet.x(span.to) - left, u.bbox.height);
  }
}

function stageNames(sheet: Sheet): void {
  const { ctx, u, ink, ratio } = sheet;
  ctx.font = deviceFont(ink.font, ratio);
  ctx.fillStyle = ink.soft;
  // A seam of the ground's colour keeps the lines out of the letters.
  ctx.strokeStyle = ink.ground;
  ctx.lineWidth = 3 * ratio;
  ctx.textAlign = 'left';
  ctx.textBaseline = 'top';
  for (const { from, to, words } of spans(sheet)) {
    const left = Math.max(sheet.x(from) + 5 * ratio, u.bbox.left + 10 * ratio);
    if (ctx.measureText(words).width >= sheet.x(to) - left) continue;
    ctx.strokeText(words, left, u.bbox.top + 4 * ratio);
    ctx.fillText(words, left, u.bbox.top + 4 * ratio);
  }
}

/** A dotted line with its words above (`bottom` of the letters on it) or below, clear of the stages' names. */
function heatLine(sheet: Sheet, tempC: number | null, words: string, base: 'top' | 'bottom'): void {
  const { ctx, u, ink, ratio } = sheet;
  if (tempC === null) return;
  const y = Math.round(sheet.y(tempC));
  const namesEnd = u.bbox.top + (base === 'top' ? 2 : 3.2) * ink.sizePx * ratio + 8 * ratio;
  if (y < namesEnd || y > u.bbox.top + u.bbox.height - 20 * ratio) return;
  ctx.strokeStyle = ink.rule;
  ctx.lineWidth = ratio;
  ctx.setLineDash([2 * ratio, 4 * ratio]);
  ctx.beginPath();
  ctx.moveTo(u.bbox.left, y);
  ctx.lineTo(u.bbox.left + u.bbox.width, y);
  ctx.stroke();
  ctx.setLineDash([]);
  ctx.font = deviceFont(ink.font, ratio);
  ctx.fillStyle = ink.soft;
  ctx.textAlign = 'left';
  ctx.textBaseline = base;
  ctx.strokeStyle = ink.ground;
  ctx.lineWidth = 3 * ratio;
  ctx.strokeText(words, u.bbox.left + 10 * ratio, y + (base === 'top' ? 3 : -2) * ratio);
  ctx.fillText(words, u.bbox.left + 10 * ratio, y + (base === 'top' ? 3 : -2) * ratio);
}

/** The fan fades out to the right; its middle is dotted, so that nobody takes it for the curve. */
function fan(sheet: Sheet): void {
  const { ctx, ink, ratio, scene } = sheet;
  const [first, ...rest] = scene.fan;
  const last = rest.at(-1);
  if (!first || !last) return;
  const [x0, x1] = [sheet.x(first.at), sheet.x(Math.min(last.at, scene.to))];
  const fade = ctx.createLinearGradient(x0, 0, Math.max(x1, x0 + 1), 0);
  fade.addColorStop(0, `${ink.fan}99`);
  fade.addColorStop(1, `${ink.fan}18`);
  ctx.fillStyle = fade;
  ctx.beginPath();
  ctx.moveTo(x0, sheet.y(first.midC));
  for (const { at, highC } of rest) ctx.lineTo(sheet.x(at), sheet.y(highC));
  for (const { at, lowC } of [...rest].reverse()) ctx.lineTo(sheet.x(at), sheet.y(lowC));
  ctx.closePath();
  ctx.fill();
  ctx.strokeStyle = ink.ink;
  ctx.lineWidth = 1.5 * ratio;
  ctx.setLineDash([1.5 * ratio, 5 * ratio]);
  ctx.beginPath();
  ctx.moveTo(x0, sheet.y(first.midC));
  for (const { at, midC } of rest) ctx.lineTo(sheet.x(at), sheet.y(midC));
  ctx.stroke();
  ctx.setLineDash([]);
}

/** A narrow strip at the left edge: the colour that shows through the spyhole at each heat. */
function glowScale(sheet: Sheet): void {
  const { ctx, u, ink, ratio } = sheet;
  const { left, top, height } = u.bbox;
  for (const { fromC, toC, step } of GLOWS) {
    const low = Math.min(top + height, sheet.y(fromC));
    const high = Math.max(top, toC === null ? top : sheet.y(toC));
    if (low <= high) continue;
    ctx.fillStyle = ink.glows[step] ?? ink.ink;
    ctx.fillRect(left, high, 4 * ratio, low - high);
  }
}

function alertMarks(sheet: Sheet): void {
  const { ctx, u, ink, ratio, scene } = sheet;
  const y = u.bbox.top + (ink.sizePx + 14) * ratio;
  const r = 5 * ratio;
  ctx.fillStyle = ink.ink;
  const shown = scene.alerts.filter(
    ({ at, priority }) => priority !== 'note' && at >= scene.from && at <= scene.to,
  );
  for (const crowd of crowds(shown, sheet.x, 3 * r)) {
    // Of those that would lie on each other the most urgent is shown.
    const urgent = crowd.find(({ priority }) => priority === 'come-now');
    const x = sheet.x((urgent ?? crowd[0])?.at ?? scene.from);
    if (urgent) burst(ctx, x, y, r * 1.4);
    else eye(ctx, x, y, r * 1.4);
  }
}

/** Eight points: someone must come. The same shapes stand beside the alerts' words. */
/** A ring and the number beside it. */
const RING_ROOM_PX = 40;

function burst(ctx: CanvasRenderingContext2D, x: number, y: number, r: number): void {
  ctx.beginPath();
  for (let i = 0; i < 16; i += 1) {
    const reach = i % 2 === 0 ? r : r * 0.55;
    ctx.lineTo(x + reach * Math.cos((i * Math.PI) / 8), y + reach * Math.sin((i * Math.PI) / 8));
  }
  ctx.closePath();
  ctx.fill();
}

/** An eye: someone should look. */
function eye(ctx: CanvasRenderingContext2D, x: number, y: number, r: number): void {
  ctx.beginPath();
  ctx.moveTo(x - r, y);
  ctx.quadraticCurveTo(x, y - r * 1.3, x + r, y);
  ctx.quadraticCurveTo(x, y + r * 1.3, x - r, y);
  ctx.fill();
}

function rows(sheet: Sheet): void {
  const { ctx, u, ink, ratio, scene } = sheet;
  const top = u.bbox.top + u.bbox.height + ROW_GAP_PX * ratio;
  const middle = (row: number) => top + (row + 0.5) * ROW_PX * ratio;
  ctx.font = deviceFont(ink.font, ratio);
  ctx.fillStyle = ink.soft;
  ctx.textAlign = 'right';
  ctx.textBaseline = 'middle';
  [SAY.rowLeft, SAY.rowRight, SAY.rowDraws].forEach((words, row) => {
    ctx.fillText(words, u.bbox.left - 8 * ratio, middle(row));
  });
  ctx.fillStyle = ink.ink;
  ctx.strokeStyle = ink.ink;
  const shown = (at: number) => at >= scene.from && at <= scene.to;
  const rowOf = (hole: 'left' | 'right') => (hole === 'left' ? 0 : 1);
  ctx.lineWidth = 1.5 * ratio;
  for (const { at, hole } of scene.stokes) {
    if (!shown(at)) continue;
    ctx.beginPath();
    ctx.moveTo(sheet.x(at), middle(rowOf(hole)) - 8 * ratio);
    ctx.lineTo(sheet.x(at), middle(rowOf(hole)) + 2 * ratio);
    ctx.stroke();
  }
  for (const { at, hole } of scene.salts)
    if (shown(at)) grain(ctx, sheet.x(at), middle(rowOf(hole)) + 7 * ratio, 2.4 * ratio);
  ctx.lineWidth = 2 * ratio;
  ctx.textAlign = 'left';
  const draws = scene.draws.filter(shown).map((at) => ({ at }));
  for (const crowd of crowds(draws, sheet.x, RING_ROOM_PX * ratio)) {
    const x = sheet.x(crowd[0]?.at ?? scene.from);
    ctx.beginPath();
    ctx.arc(x, middle(2), 5 * ratio, 0, 2 * Math.PI);
    ctx.stroke();
    // Rings that would lie on each other are one ring and their number.
    if (crowd.length > 1) ctx.fillText(`× ${crowd.length}`, x + 8 * ratio, middle(2));
  }
}

/** A grain of salt is a cube. */
function grain(ctx: CanvasRenderingContext2D, x: number, y: number, r: number): void {
  ctx.fillRect(x - r, y - r, 2 * r, 2 * r);
}
