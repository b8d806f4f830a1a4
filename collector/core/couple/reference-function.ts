/**
 * EMF of a thermocouple by the ITS-90 reference functions (NIST SRD 60, IEC 60584-1): millivolts, reference junction
 * at 0 °C.
 */
import type { CoupleType } from '../../../protocol/probes.ts';
import { REFERENCE_PIECES, type ReferencePiece } from './its90-coefficients.ts';

/** EMF and its slope as one evaluation leaves them: the solver asks for both a few times per reading. */
export interface EmfAndSlope {
  emfMv: number;
  slopeMvPerC: number;
}

/** Evaluates one range of a reference function at `tempC`, into `into`; nothing is allocated. */
export function evaluatePiece(piece: ReferencePiece, tempC: number, into: EmfAndSlope): void {
  const { c, bell } = piece;
  let emf = 0;
  let slope = 0;
  for (let i = c.length - 1; i >= 0; i--) {
    slope = slope * tempC + emf;
    emf = emf * tempC + (c[i] ?? 0);
  }
  if (bell !== undefined) {
    const fromCentre = tempC - bell.a2;
    const term = bell.a0 * Math.exp(bell.a1 * fromCentre * fromCentre);
    emf += term;
    slope += 2 * bell.a1 * fromCentre * term;
  }
  into.emfMv = emf;
  into.slopeMvPerC = slope;
}

/** A join belongs to the range below it, so that every type gives exactly 0 mV at 0 °C. */
function pieceAt(couple: CoupleType, tempC: number): ReferencePiece | undefined {
  return REFERENCE_PIECES[couple].find((piece) => tempC >= piece.fromC && tempC <= piece.toC);
}

function evaluate(couple: CoupleType, tempC: number): EmfAndSlope {
  const out = { emfMv: Number.NaN, slopeMvPerC: Number.NaN };
  const piece = pieceAt(couple, tempC);
  if (piece !== undefined) evaluatePiece(piece, tempC, out);
  return out;
}

/** EMF in mV at `tempC`. NaN outside the couple's range. */
export function emfMv(couple: CoupleType, tempC: number): number {
  return evaluate(couple, tempC).emfMv;
}

/** Slope of the EMF in mV/°C at `tempC` (the Seebeck coefficient). NaN outside the couple's range. */
export function emfSlopeMvPerC(couple: CoupleType, tempC: number): number {
  return evaluate(couple, tempC).slopeMvPerC;
}

/** What the reference function of a couple covers, in °C. */
export function coupleRangeC(couple: CoupleType): { lowC: number; highC: number } {
  const pieces = REFERENCE_PIECES[couple];
  return { lowC: pieces[0].fromC, highC: (pieces.at(-1) ?? pieces[0]).toC };
}
