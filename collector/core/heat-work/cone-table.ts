/** How well the fitted rate equations give the cone chart back, as a table to read and a verdict. */
import { CONE_NAMES, type ConeName } from '../../../protocol/cones.ts';
import { endPointC } from './arrhenius.ts';
import { type ConeChart, SELF_SUPPORTING_C } from './cone-chart.ts';
import { coneEndPoints, fitCone } from './cone-rates.ts';
import { type EndPoint, fitTwo } from './fit.ts';

/** What the fit must hold: no end point of a three-rate cone further off than this, in °C, … */
const MUST_WITHIN_C = 4;
/** … this many of those cones within so much at each rate, … */
const MOSTLY_WITHIN_C = 2;
const MOSTLY_SHARE = 3 / 4;
/** … and for each of them the middle rate, left out of the fit, foretold from the outer two within this. */
const MIDDLE_WITHIN_C = 6;

interface Residual {
  chartC: number;
  modelC: number;
  errorC: number;
}

interface ConeResiduals {
  name: ConeName;
  /** Slowest rate first; null where the chart has no value. */
  fit: (Residual | null)[];
  /** The middle rate from the outer two; null for a two-rate cone. */
  leftOut: Residual | null;
}

const residual = (chartC: number, modelC: number): Residual => ({ chartC, modelC, errorC: modelC - chartC });

function residualsOf(name: ConeName, chart: ConeChart): ConeResiduals {
  const { slow, middle, fast } = coneEndPoints(name, chart);
  const rate = fitCone(name, chart);
  const at = (end: EndPoint | null) =>
    end === null ? null : residual(end.endC, endPointC(rate, end.rateCPerH));
  const leftOut =
    slow === null ? null : residual(middle.endC, endPointC(fitTwo(slow, fast), middle.rateCPerH));
  return { name, fit: [at(slow), at(middle), at(fast)], leftOut };
}

const greatest = (residuals: (Residual | null)[]): number =>
  residuals.reduce((most, each) => Math.max(most, each === null ? 0 : Math.abs(each.errorC)), 0);

function cells(of: Residual | null): string {
  if (of === null) return '     -       -      -';
  const error = `${of.errorC < 0 ? '-' : '+'}${Math.abs(of.errorC).toFixed(1)}`;
  return `${of.chartC.toFixed(0).padStart(6)}  ${of.modelC.toFixed(1).padStart(6)}  ${error.padStart(5)}`;
}

/**
 * The table as lines of text, in °C: each cone at each rate and, for the cones with three rates, the middle rate
 * foretold from the outer two; then the counts. `holds`: every three-rate cone within 4 °C at each rate, 2 °C for
 * three in four of them, and the foretold middle within 6 °C for every one.
 */
export function coneTable(chart: ConeChart = SELF_SUPPORTING_C): { lines: string[]; holds: boolean } {
  const all = CONE_NAMES.map((name) => residualsOf(name, chart));
  const three = all.filter(({ leftOut }) => leftOut !== null);
  const close = three.filter(({ fit }) => greatest(fit) <= MOSTLY_WITHIN_C).length;
  const worst = greatest(three.flatMap(({ fit }) => fit));
  const worstTwo = greatest(all.filter(({ leftOut }) => leftOut === null).flatMap(({ fit }) => fit));
  const worstMiddle = greatest(three.map(({ leftOut }) => leftOut));
  const holds =
    worst <= MUST_WITHIN_C && close >= MOSTLY_SHARE * three.length && worstMiddle <= MIDDLE_WITHIN_C;
  const heads = ['15 °C/h', '60 °C/h', '150 °C/h', '60 °C/h, left out'];
  const lines = [
    `cone  ${heads.map((head) => head.padEnd(21)).join('  ')}`.trimEnd(),
    `      ${heads.map(() => ' chart   model  error').join('  ')}`,
    ...all.map(({ name, fit, leftOut }) => `${name.padEnd(4)}  ${[...fit, leftOut].map(cells).join('  ')}`),
    '',
    `Cones with three rates: ${three.length}. Within ${MOSTLY_WITHIN_C} °C at each rate: ${close}. Worst: ${worst.toFixed(1)} °C (must be within ${MUST_WITHIN_C}; ${MOSTLY_WITHIN_C} for three in four).`,
    `Middle rate from the outer two, worst: ${worstMiddle.toFixed(1)} °C (must be within ${MIDDLE_WITHIN_C}).`,
    `Cones with two rates, whose Q is cone 019's: ${all.length - three.length}. Worst: ${worstTwo.toFixed(1)} °C.`,
    holds ? 'The fit holds.' : 'The fit does NOT hold.',
  ];
  return { lines, holds };
}
