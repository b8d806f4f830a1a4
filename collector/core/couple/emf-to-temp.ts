/**
 * EMF to temperature by finding the root of the reference function itself, so that the EMF of the answer is the EMF
 * that was given. (The published inverse polynomials are only good to some hundredths of a degree.)
 *
 * All eight functions rise from end to end, but for type B below 21 °C; that part lies within what B cannot read.
 */
import { COUPLE_TYPES, type CoupleType } from '../../../protocol/probes.ts';
import { REFERENCE_PIECES, type ReferencePiece } from './its90-coefficients.ts';
import { emfMv, evaluatePiece } from './reference-function.ts';

/** Type B gives next to nothing below this: 0.291 mV, and the same EMF at two temperatures near 0 and 42 °C. */
export const TYPE_B_READS_FROM_C = 250;

/**
 * A cold type B couple gives -0.0026 mV at the least, and a converter's zero may be off by some microvolts more.
 * Further below than this it is no cold couple: it is wired the wrong way round, or is another type.
 */
const TYPE_B_LEAST_MV = -0.1;

/** Start values per range. 256 leave the first guess within 0.02 °C above room temperature. */
const NODES = 256;

/** The search ends when the EMF is met this closely; rounding in the longest polynomial is about 1e-11 mV. */
const CLOSE_MV = 1e-10;

/** One range with its EMF at both ends and temperatures at evenly spaced EMFs between them. */
interface Inverse {
  piece: ReferencePiece;
  fromC: number;
  lowMv: number;
  highMv: number;
  nodesPerMv: number;
  nodesC: Float64Array;
}

const at = { emfMv: 0, slopeMvPerC: 0 };

/**
 * Newton steps kept within [lowC, highC], halving where a step would leave it: near -270 °C the slope is a hundredth
 * of what it is at room temperature.
 */
function findRoot(piece: ReferencePiece, emf: number, startC: number, fromC: number, toC: number): number {
  let lowC = fromC;
  let highC = toC;
  let tempC = startC;
  for (;;) {
    evaluatePiece(piece, tempC, at);
    const excessMv = at.emfMv - emf;
    const nextC = tempC - excessMv / at.slopeMvPerC;
    if (Math.abs(excessMv) <= CLOSE_MV) return nextC >= fromC && nextC <= toC ? nextC : tempC;
    if (excessMv > 0) highC = tempC;
    else lowC = tempC;
    const halfC = (lowC + highC) / 2;
    if (halfC <= lowC || halfC >= highC) return halfC;
    tempC = nextC > lowC && nextC < highC ? nextC : halfC;
  }
}

function invertPiece(piece: ReferencePiece, fromC: number): Inverse {
  evaluatePiece(piece, fromC, at);
  const lowMv = at.emfMv;
  evaluatePiece(piece, piece.toC, at);
  const highMv = at.emfMv;
  const nodesC = new Float64Array(NODES + 1);
  nodesC[0] = fromC;
  let lastC = fromC;
  for (let node = 1; node < NODES; node++) {
    lastC = findRoot(piece, lowMv + ((highMv - lowMv) * node) / NODES, lastC, lastC, piece.toC);
    nodesC[node] = lastC;
  }
  nodesC[NODES] = piece.toC;
  return { piece, fromC, lowMv, highMv, nodesPerMv: NODES / (highMv - lowMv), nodesC };
}

function invert(couple: CoupleType): Inverse[] {
  return REFERENCE_PIECES[couple].map((piece, index) =>
    invertPiece(piece, couple === 'B' && index === 0 ? TYPE_B_READS_FROM_C : piece.fromC),
  );
}

const INVERSES = Object.fromEntries(COUPLE_TYPES.map((couple) => [couple, invert(couple)])) as Record<
  CoupleType,
  Inverse[]
>;

/** Below this type B is too cold to read. */
const TYPE_B_READS_FROM_MV = emfMv('B', TYPE_B_READS_FROM_C);

/**
 * Temperature in °C of a couple whose EMF is `emf` mV with its reference junction at 0 °C; E of it is `emf` within
 * 1e-9 mV. Where two ranges of a reference function do not quite meet (7.5e-8 mV for J at 760 °C is the most), an EMF
 * between their two values gives the join. `'too-cold'`: type B below 250 °C, which is no fault. `'range'`: outside
 * what the reference function covers, or not a number.
 */
export function tempFromEmf(couple: CoupleType, emf: number): number | 'range' | 'too-cold' {
  if (couple === 'B' && emf < TYPE_B_READS_FROM_MV) return emf >= TYPE_B_LEAST_MV ? 'too-cold' : 'range';
  const inverses = INVERSES[couple];
  for (let i = 0; i < inverses.length; i++) {
    const inverse = inverses[i];
    if (inverse === undefined) break;
    const joinMv = inverses[i + 1]?.lowMv;
    const topMv = joinMv === undefined ? inverse.highMv : Math.min(inverse.highMv, joinMv);
    if (emf < topMv || (joinMv === undefined && emf === topMv)) {
      if (emf < inverse.lowMv) return 'range';
      const place = (emf - inverse.lowMv) * inverse.nodesPerMv;
      const node = Math.min(NODES - 1, Math.floor(place));
      const belowC = inverse.nodesC[node] ?? 0;
      const aboveC = inverse.nodesC[node + 1] ?? 0;
      const startC = belowC + (aboveC - belowC) * (place - node);
      return findRoot(inverse.piece, emf, startC, inverse.fromC, inverse.piece.toC);
    }
    if (joinMv !== undefined && emf <= Math.max(inverse.highMv, joinMv)) return inverse.piece.toC;
  }
  return 'range';
}
