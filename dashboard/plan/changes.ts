/** How one plan differs from another, in words: for the press that keeps it, and for the log book. */
import type { Plan } from '../../protocol/plan.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { PLAN } from '../words.ts';
import { piecesAt } from './load.ts';
import { type Quantity, shownFigure, unitOf } from './quantity.ts';

const FIGURES = [
  ['saltingStartC', PLAN.saltingStart, 'heat'],
  ['topC', PLAN.top, 'heat'],
  ['saltKg', PLAN.salt, 'mass'],
  ['chargeG', PLAN.charge, 'charge'],
  ['stallCPerH', PLAN.stall, 'rate'],
  ['unbrickC', PLAN.unbrick, 'heat'],
] as const satisfies readonly [keyof Plan, string, Quantity][];

const TEXTS = [
  ['name', PLAN.name],
  ['guide', PLAN.guide],
  ['saltingStartCone', PLAN.saltingCone],
  ['firingCone', PLAN.firingCone],
] as const satisfies readonly [keyof Plan, string][];

/** What is told as changed, without how. */
const WHOLES = [
  ['climbTargets', PLAN.targets],
  ['climbLimits', PLAN.limits],
  ['coolingBands', PLAN.coolingBands],
  ['holds', PLAN.holds],
  ['places', PLAN.places],
  ['conePacks', PLAN.conePacks],
  ['drawRings', PLAN.drawRings],
  ['offsets', PLAN.offsets],
  ['wood', PLAN.wood],
] as const satisfies readonly [keyof Plan, string][];

const SHOWN: ReadonlySet<string> = new Set(
  [...FIGURES, ...TEXTS, ...WHOLES].map(([field]) => field).concat('load' as never),
);

function figure(value: number | null, quantity: Quantity, unit: TemperatureUnit): string {
  if (value === null) return PLAN.none;
  return `${shownFigure(value, quantity, unit)}\u00a0${unitOf(quantity, unit)}`;
}

const alike = (a: unknown, b: unknown) => JSON.stringify(a) === JSON.stringify(b);

/** One line a change; none where the plans are alike. */
export function planChanges(before: Plan, after: Plan, unit: TemperatureUnit): string[] {
  const changes: string[] = [];
  for (const [field, words, quantity] of FIGURES) {
    if (before[field] !== after[field])
      changes.push(
        PLAN.change(words, figure(after[field], quantity, unit), figure(before[field], quantity, unit)),
      );
  }
  for (const [field, words] of TEXTS) {
    if (before[field] !== after[field])
      changes.push(PLAN.change(words, after[field] ?? PLAN.none, before[field] ?? PLAN.none));
  }
  for (const [field, words] of WHOLES) {
    if (!alike(before[field], after[field])) changes.push(PLAN.changed(words));
  }
  if (!alike(before.load, after.load))
    changes.push(
      PLAN.change(
        PLAN.load,
        PLAN.pieces(piecesAt(after.load, null)),
        PLAN.pieces(piecesAt(before.load, null)),
      ),
    );
  const fields = new Set([...Object.keys(before), ...Object.keys(after)]);
  for (const field of fields) {
    if (!SHOWN.has(field) && !alike(before[field], after[field])) changes.push(PLAN.changed(field));
  }
  return changes;
}
