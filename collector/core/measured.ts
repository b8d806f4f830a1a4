/** The kiln's heat as it was measured, quarter minute by quarter minute: with the dip of each stoke and of each charge of salt. */
import { MINUTE_MS } from '../../protocol/units.ts';

const EVERY_MS = MINUTE_MS / 4;
/** Four hours: the lot of salt and the peak before it lie within. */
const KEPT = 960;

export interface Measured {
  at: number[];
  c: (number | null)[];
  /** The quarter minute that is being filled. */
  open: { since: number; sumC: number; count: number };
}

export function newMeasured(): Measured {
  return { at: [], c: [], open: { since: Number.NEGATIVE_INFINITY, sumC: 0, count: 0 } };
}

/** Takes the kiln's mean at `at`, °C, or null where no probe gives one. What a quarter minute held is averaged: noise makes no peak. */
export function noteMeasured(measured: Measured, at: number, meanC: number | null): void {
  if (at - measured.open.since >= EVERY_MS) {
    const { since, sumC, count } = measured.open;
    if (Number.isFinite(since)) {
      measured.at.push(since);
      measured.c.push(count > 0 ? sumC / count : null);
      if (measured.at.length > KEPT) {
        measured.at.shift();
        measured.c.shift();
      }
    }
    measured.open = { since: at, sumC: 0, count: 0 };
  }
  if (meanC === null) return;
  measured.open.sumC += meanC;
  measured.open.count += 1;
}
