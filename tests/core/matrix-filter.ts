/**
 * The track's model once more, written as the text books have it, with matrices: for the tests only. State-space form
 * of Harvey (Forecasting, Structural Time Series Models and the Kalman Filter, 1989; from memory), discretised by the
 * integral of Van Loan (IEEE Transactions on Automatic Control 23, 1978; from memory), here done numerically:
 * x' = F x + noise of intensity G, transition expm(F t), its noise the integral of expm(F s) G expm(F s)' over the step.
 */

import type { FilterModel } from '../../collector/core/track-filter.ts';

type Matrix = number[][];
type Vector = number[];

const size = 5;

interface Spelled {
  F: Matrix;
  G: Matrix;
}

/** Level, usual climb, way off it, cycle, its quadrature. */
function spelled(model: FilterModel, periodH: number): Spelled {
  const memoryH = model.cycleMemoryPeriods * periodH;
  const turn = (2 * Math.PI) / periodH;
  // A process that dies away keeps its variance v if 2 v / memory flows in.
  const cycleIntensity = (2 * model.cycleSdC ** 2) / memoryH;
  return {
    F: [
      [0, 1, 1, 0, 0],
      [0, 0, 0, 0, 0],
      [0, 0, -1 / model.offMemoryH, 0, 0],
      [0, 0, 0, -1 / memoryH, turn],
      [0, 0, 0, -turn, -1 / memoryH],
    ],
    G: [
      [0, 0, 0, 0, 0],
      [0, model.usualWanderCPerH ** 2, 0, 0, 0],
      [0, 0, (2 * model.offSdCPerH ** 2) / model.offMemoryH, 0, 0],
      [0, 0, 0, cycleIntensity, 0],
      [0, 0, 0, 0, cycleIntensity],
    ],
  };
}

/** What a reading shows of the state: level and cycle. */
const H: Vector = [1, 0, 0, 1, 0];

const cell = (m: Matrix, i: number, j: number): number => m[i]?.[j] ?? Number.NaN;
const build = (fill: (i: number, j: number) => number): Matrix =>
  Array.from({ length: size }, (_, i) => Array.from({ length: size }, (_, j) => fill(i, j)));
const zero = build(() => 0);
const identity = build((i, j) => (i === j ? 1 : 0));
const transpose = (m: Matrix): Matrix => build((i, j) => cell(m, j, i));
const scaled = (m: Matrix, by: number): Matrix => build((i, j) => by * cell(m, i, j));
const sum = (a: Matrix, b: Matrix): Matrix => build((i, j) => cell(a, i, j) + cell(b, i, j));
const times = (a: Matrix, b: Matrix): Matrix =>
  build((i, j) => a.reduce((total, _, k) => total + cell(a, i, k) * cell(b, k, j), 0));
const on = (m: Matrix, v: Vector): Vector => m.map((row) => row.reduce((s, x, k) => s + x * (v[k] ?? 0), 0));
const dot = (a: Vector, b: Vector): number => a.reduce((total, x, i) => total + x * (b[i] ?? 0), 0);

/** Matrix exponential by its series, scaled down and squared up again. */
function expm(m: Matrix): Matrix {
  const norm = Math.max(...m.map((row) => row.reduce((total, x) => total + Math.abs(x), 0)));
  const squarings = Math.max(0, Math.ceil(Math.log2(norm / 0.1)));
  const small = scaled(m, 1 / 2 ** squarings);
  let term = identity;
  let total = identity;
  for (let k = 1; k <= 14; k++) {
    term = scaled(times(term, small), 1 / k);
    total = sum(total, term);
  }
  for (let i = 0; i < squarings; i++) total = times(total, total);
  return total;
}

/** Gauss-Legendre, five points, on pieces so short that the cycle turns little in each. */
const GAUSS: [number, number][] = [
  [0, 128 / 225],
  [Math.sqrt(5 - 2 * Math.sqrt(10 / 7)) / 3, (322 + 13 * Math.sqrt(70)) / 900],
  [-Math.sqrt(5 - 2 * Math.sqrt(10 / 7)) / 3, (322 + 13 * Math.sqrt(70)) / 900],
  [Math.sqrt(5 + 2 * Math.sqrt(10 / 7)) / 3, (322 - 13 * Math.sqrt(70)) / 900],
  [-Math.sqrt(5 + 2 * Math.sqrt(10 / 7)) / 3, (322 - 13 * Math.sqrt(70)) / 900],
];
const PIECE_H = 0.02;

function noiseOf({ F, G }: Spelled, hours: number): Matrix {
  const pieces = Math.max(1, Math.ceil(hours / PIECE_H));
  const half = hours / pieces / 2;
  let total = zero;
  for (let piece = 0; piece < pieces; piece++) {
    for (const [point, weight] of GAUSS) {
      const transition = expm(scaled(F, (2 * piece + 1 + point) * half));
      total = sum(total, scaled(times(times(transition, G), transpose(transition)), weight * half));
    }
  }
  return total;
}

export interface MatrixFilter {
  x: Vector;
  P: Matrix;
}

export function firstOf(tempC: number, model: FilterModel): MatrixFilter {
  const cycle = model.cycleSdC ** 2;
  // The first reading shows level + cycle with the noise of a reading; of the cycle only its usual size is known.
  const P = [
    [model.noiseSdC ** 2 + cycle, 0, 0, -cycle, 0],
    [0, model.firstSlopeSdCPerH ** 2, 0, 0, 0],
    [0, 0, model.offSdCPerH ** 2, 0, 0],
    [-cycle, 0, 0, cycle, 0],
    [0, 0, 0, 0, cycle],
  ];
  return { x: [tempC, 0, 0, 0, 0], P };
}

/** After `hours`, with one more reading. */
export function nextOf(
  before: MatrixFilter,
  hours: number,
  periodH: number,
  tempC: number,
  model: FilterModel,
): MatrixFilter {
  const spell = spelled(model, periodH);
  const transition = expm(scaled(spell.F, hours));
  const x = on(transition, before.x);
  const P = sum(times(times(transition, before.P), transpose(transition)), noiseOf(spell, hours));
  const innovation = tempC - dot(H, x);
  const expected = dot(H, on(P, H)) + model.noiseSdC ** 2;
  const isStoke = innovation < 0 && innovation > -model.mostDropC;
  const dropped = isStoke ? Math.max(0, (innovation / model.dropSd) ** 2 - expected) : 0;
  const wider = build((i, j) => cell(P, i, j) + (i === 3 && j === 3 ? dropped : 0));
  const gains = on(wider, H);
  const variance = Math.max(dot(H, gains) + model.noiseSdC ** 2, (innovation / model.guardSd) ** 2);
  return {
    x: x.map((value, i) => value + ((gains[i] ?? 0) * innovation) / variance),
    P: build((i, j) => cell(wider, i, j) - ((gains[i] ?? 0) * (gains[j] ?? 0)) / variance),
  };
}
