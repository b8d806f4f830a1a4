/** What a probe is: its name, its couple (IEC 60584 type letter) and the form its value has on the board's line. */

export const COUPLE_TYPES = ['B', 'E', 'J', 'K', 'N', 'R', 'S', 'T'] as const;
export type CoupleType = (typeof COUPLE_TYPES)[number];

/**
 * `uv`: EMF in microvolts, reference junction not compensated. `deg`: °C, linearised to ITS-90 and compensated.
 * `lin`: °C from a chip that takes the couple as linear at `uvPerC` microvolts a degree.
 */
export type ProbeForm = { kind: 'uv' } | { kind: 'deg' } | { kind: 'lin'; uvPerC: number };

export interface ProbeSpec {
  name: string;
  couple: CoupleType;
  form: ProbeForm;
}

/** The chip's own fault report. */
export const RAW_FAULTS = ['!open', '!short', '!range'] as const;
export type RawFault = (typeof RAW_FAULTS)[number];

/** One probe's value on a line: a number in the probe's form, the chip's fault, or null for 'not measured'. */
export type RawValue = number | RawFault | null;

const PROBE = /^([a-z0-9-]{1,16}):([BEJKNRST]):(uv|deg|lin(\d{1,7}(?:\.\d{1,6})?))$/;

/** `low:K:lin41.276` to a spec; null if it is not one. A `lin` of 0 µV/°C is none. */
export function parseProbeSpec(text: string): ProbeSpec | null {
  const match = PROBE.exec(text);
  if (!match) return null;
  const [, name, couple, form, uvPerCText] = match;
  if (name === undefined || couple === undefined || form === undefined) return null;
  if (uvPerCText === undefined)
    return { name, couple: couple as CoupleType, form: { kind: form as 'uv' | 'deg' } };
  const uvPerC = Number(uvPerCText);
  return uvPerC > 0 ? { name, couple: couple as CoupleType, form: { kind: 'lin', uvPerC } } : null;
}

/** The text of a spec as it stands in a hello. */
export function formatProbeSpec(spec: ProbeSpec): string {
  const form = spec.form.kind === 'lin' ? `lin${spec.form.uvPerC}` : spec.form.kind;
  return `${spec.name}:${spec.couple}:${form}`;
}
