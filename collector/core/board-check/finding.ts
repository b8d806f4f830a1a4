/** One thing that the check before lighting found. */

/** `mend`: not before this is put right; `mind`: it may be lit, but know this; `fine`: tried, and good. */
export type Grade = 'mend' | 'mind' | 'fine';

export interface Finding {
  grade: Grade;
  /** A probe's name, or null for the board, its line and its cable. */
  probe: string | null;
  /** One word for it, the same whatever the figures. */
  what: string;
  /** Sentences in both units: what is so and what to do. */
  text: string;
}

/** Makes findings about one thing. */
export function aboutOf(probe: string | null) {
  const made = (grade: Grade) => (what: string, text: string) => ({ grade, probe, what, text });
  return { mend: made('mend'), mind: made('mind'), fine: made('fine') };
}

/** 0.0213 as `2.1 %`. */
export function shareInWords(share: number): string {
  return `${Math.round(share * 1000) / 10} %`;
}
