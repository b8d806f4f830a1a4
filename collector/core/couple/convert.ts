/** One probe's value on the board's line to a temperature, or to why there is none. */
import type { CoupleType, ProbeSpec, RawFault, RawValue } from '../../../protocol/probes.ts';
import { TYPE_B_READS_FROM_C, tempFromEmf } from './emf-to-temp.ts';
import { coupleRangeC, emfMv } from './reference-function.ts';

/** Why there is no temperature. `too-cold` (type B below 250 °C) and `not-measured` are no faults. */
export type NoTemperature = 'open' | 'short' | 'range' | 'no-cold-junction' | 'not-measured' | 'too-cold';

export type Conversion = { tempC: number; state: 'ok' } | { tempC: null; state: NoTemperature };

/** What a board's own sensor can be at and still work: a figure beyond is that sensor failing, not the weather. */
const COLD_JUNCTION_LEAST_C = -55;
const COLD_JUNCTION_MOST_C = 125;

const FAULTS: Record<RawFault, NoTemperature> = { '!open': 'open', '!short': 'short', '!range': 'range' };

const none = (state: NoTemperature): Conversion => ({ tempC: null, state });

/** EMF in mV of the couple at its cold junction; null where that is unknown, absurd, or colder than the couple's range. */
function coldJunctionMv(couple: CoupleType, coldJunctionC: number | null): number | null {
  if (coldJunctionC === null) return null;
  if (!(coldJunctionC >= COLD_JUNCTION_LEAST_C && coldJunctionC <= COLD_JUNCTION_MOST_C)) return null;
  const mv = emfMv(couple, coldJunctionC);
  return Number.isNaN(mv) ? null : mv;
}

function fromEmf(couple: CoupleType, emf: number): Conversion {
  const tempC = tempFromEmf(couple, emf);
  return typeof tempC === 'number' ? { tempC, state: 'ok' } : none(tempC);
}

/** °C from a chip that linearises by itself: only checked against what the couple covers. */
function fromDegrees(couple: CoupleType, tempC: number): Conversion {
  const { lowC, highC } = coupleRangeC(couple);
  if (couple === 'B' && tempC < TYPE_B_READS_FROM_C)
    return none(tempC >= COLD_JUNCTION_LEAST_C ? 'too-cold' : 'range');
  return tempC >= lowC && tempC <= highC ? { tempC, state: 'ok' } : none('range');
}

/**
 * Converts one value. `uv`: EMF in µV, compensated here by the couple's EMF at `coldJunctionC`. `lin`: the chip
 * measures V = E(T) - E(Tcj) and reports V/k + Tcj; that is undone. `deg`: °C as it is, if within the couple's range.
 *
 * With `uv` or `lin` and no cold junction there is no temperature; a cold junction outside -55…125 °C, or outside the
 * couple's range, is none either. (That is type B below 0 °C and R and S below -50 °C: nothing is published there.)
 */
export function convert(spec: ProbeSpec, raw: RawValue, coldJunctionC: number | null): Conversion {
  if (raw === null) return none('not-measured');
  if (typeof raw === 'string') return none(FAULTS[raw]);
  if (!Number.isFinite(raw)) return none('range');
  const { couple, form } = spec;
  if (form.kind === 'deg') return fromDegrees(couple, raw);
  const junctionMv = coldJunctionMv(couple, coldJunctionC);
  if (junctionMv === null || coldJunctionC === null) return none('no-cold-junction');
  const measuredUv = form.kind === 'uv' ? raw : form.uvPerC * (raw - coldJunctionC);
  return fromEmf(couple, measuredUv / 1000 + junctionMv);
}

/** The highest temperature in °C that the couple's reference function covers: what the over-heat alert goes by. */
export function coupleLimitC(couple: CoupleType): number {
  return coupleRangeC(couple).highC;
}
