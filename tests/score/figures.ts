/** The figures of a set of firings, and the table of them. */
import { ALERT_NAMES, type AlertName } from '../../protocol/alert-names.ts';
import type { Stage } from '../../protocol/stages.ts';
import { type FiringMarks, HORIZONS_MIN, type Marks } from './marks.ts';
import { quantile, STALL_CLIMB_C_PER_H } from './rules.ts';

/** A row of the table: a label, and the text for the tool and for the bare mean ('' where it has none). */
export interface Row {
  label: string;
  tool: string;
  bare: string;
}

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
const fixed = (value: number, decimals = 1): string => (Number.isNaN(value) ? '–' : value.toFixed(decimals));
const share = (part: number, whole: number): string =>
  whole === 0 ? '–' : `${((100 * part) / whole).toFixed(0)} % (${part} of ${whole})`;
const per100 = (count: number, hours: number): string => `${fixed((100 * count) / hours, 2)} (${count})`;
const half = (values: readonly number[]): string => fixed(quantile(values, 0.5));
const most = (values: readonly number[]): string => fixed(quantile(values, 0.9));

const AFTER_CLIMBING: readonly Stage[] = ['salting', 'soak', 'cooling', 'open'];
const MISHAPS = ['opens', 'loose', 'sticks', 'spikes', 'drifts'] as const;

/** All rows of a set, in the table's order. */
export function rowsOf(firings: readonly FiringMarks[]): Row[] {
  const both = (label: string, of: (marks: Marks[]) => string): Row => ({
    label,
    tool: of(firings.map(({ tool }) => tool)),
    bare: of(firings.map(({ bare }) => bare)),
  });
  const one = (label: string, tool: string): Row => ({ label, tool, bare: '' });
  const climbingH = sum(firings.map((firing) => firing.climbingH));
  const firingH = sum(firings.map((firing) => firing.firingH));
  const watchedH = sum(firings.map((firing) => firing.watchedH));
  const raisedOf = (name: AlertName) => sum(firings.map(({ raised }) => raised[name] ?? 0));
  const delays = (marks: Marks[]) =>
    marks.flatMap(({ stalls }) => stalls.stalls.flatMap((s) => s.delayMin ?? []));
  const falses = (marks: Marks[]) => sum(marks.map(({ stalls }) => stalls.falseAt.length));
  const errors = (marks: Marks[]) => marks.flatMap(({ climbErrors }) => climbErrors);
  const windows = (marks: Marks[]) => marks.flatMap(({ window }) => window ?? []);
  const windowErrors = (marks: Marks[]) =>
    windows(marks).flatMap((found) => (found === 'missed' ? [] : Math.abs(found.errorMin)));
  return [
    one('firings', String(firings.length)),
    one('of which never closed', String(firings.filter(({ closed }) => !closed).length)),
    one(
      'hours watched; light-up to clam-up; of true climbing',
      `${fixed(watchedH, 0)}; ${fixed(firingH, 0)}; ${fixed(climbingH, 0)}`,
    ),
    both('stalls found', (marks) => {
      const all = marks.flatMap(({ stalls }) => stalls.stalls);
      return share(all.filter(({ delayMin }) => delayMin !== null).length, all.length);
    }),
    both(
      'delay of those, min: median; 90th percentile',
      (marks) => `${half(delays(marks))}; ${most(delays(marks))}`,
    ),
    both('false stalls per 100 h of true climbing', (marks) => per100(falses(marks), climbingH)),
    both('false stalls per 100 h from light-up to clam-up', (marks) => per100(falses(marks), firingH)),
    both('of the false: truly climbing, but by less than 11 °C/h', (marks) => {
      const all = marks.flatMap(({ trueAtFalse }) => trueAtFalse);
      const low = all.filter((at) => at.stage === 'climbing' && at.climbCPerH < STALL_CLIMB_C_PER_H);
      return share(low.length, all.length);
    }),
    both('of the false: truly salting, soaking or cooling', (marks) => {
      const all = marks.flatMap(({ trueAtFalse }) => trueAtFalse);
      return share(all.filter(({ stage }) => AFTER_CLIMBING.includes(stage)).length, all.length);
    }),
    both('climb, root mean square error, °C/h', (marks) =>
      fixed(Math.sqrt(sum(errors(marks).map((error) => error * error)) / errors(marks).length)),
    ),
    both('climb, median absolute error, °C/h', (marks) => half(errors(marks).map(Math.abs))),
    both('climb, cover of the 90 % interval', (marks) =>
      marks.some(({ coveredMin }) => coveredMin === null)
        ? ''
        : `${fixed((100 * sum(marks.map(({ coveredMin }) => coveredMin ?? 0))) / errors(marks).length)} %`,
    ),
    both('climb not told, of the minutes of climbing', (marks) => {
      const untold = sum(marks.map(({ untoldMin }) => untoldMin));
      return `${fixed((100 * untold) / (untold + errors(marks).length))} %`;
    }),
    both(
      'salting window, absolute error, min: median; 90th percentile',
      (marks) => `${half(windowErrors(marks))}; ${most(windowErrors(marks))}`,
    ),
    both('salting window missed', (marks) => {
      const all = windows(marks);
      return `${all.filter((found) => found === 'missed').length} of ${all.length}`;
    }),
    both('salting window raised over an hour too early', (marks) =>
      String(sum(marks.map(({ falseWindowAt }) => falseWindowAt.length))),
    ),
    ...HORIZONS_MIN.flatMap((horizonMin) => forecastRows(horizonMin, both)),
    ...MISHAPS.map((what) => {
      const all = firings.flatMap(({ mishaps }) => mishaps).filter((mishap) => mishap.what === what);
      const found = all.flatMap(({ delayMin }) => delayMin ?? []);
      const after = found.length > 0 ? `, after ${half(found)} min` : '';
      return one(
        `probe that ${what === 'loose' ? 'is loose' : what}: told`,
        `${share(found.length, all.length)}${after}`,
      );
    }),
    one(
      'false probe faults per 100 h watched',
      per100(sum(firings.map(({ falseFaults }) => falseFaults.length)), watchedH),
    ),
    one('alerts an hour watched', fixed(sum(ALERT_NAMES.map(raisedOf)) / watchedH, 2)),
    one(
      'the most alerts in any 10 min',
      String(Math.max(0, ...firings.map(({ mostIn10Min }) => mostIn10Min))),
    ),
    ...ALERT_NAMES.filter((name) => raisedOf(name) > 0).map((name) =>
      one(`raised per firing: ${name}`, fixed(raisedOf(name) / firings.length, 2)),
    ),
  ];
}

function forecastRows(
  horizonMin: number,
  both: (label: string, of: (marks: Marks[]) => string) => Row,
): Row[] {
  const ahead = horizonMin >= 60 ? `${horizonMin / 60} h` : `${horizonMin} min`;
  const asked = (marks: Marks[]) =>
    marks.flatMap(({ forecasts }) => forecasts.filter((each) => each.horizonMin === horizonMin));
  return [
    both(`salting heat ${ahead} ahead: median absolute error, min (given)`, (marks) => {
      const all = asked(marks);
      const errors = all.flatMap(({ errorMin }) => (errorMin === null ? [] : Math.abs(errorMin)));
      return `${half(errors)} (${errors.length} of ${all.length})`;
    }),
    both(`salting heat ${ahead} ahead: cover of the 80 % interval`, (marks) => {
      const said = asked(marks).flatMap(({ covered }) => covered ?? []);
      return said.length === 0 ? '' : share(said.filter(Boolean).length, said.length);
    }),
  ];
}

export interface Column {
  title: string;
  firings: readonly FiringMarks[];
}

/** A table in Markdown, which reads as well in a terminal: the sets side by side, the bare mean beside each. */
export function tableOf(columns: readonly Column[]): string {
  const sets = columns.map(({ firings }) => rowsOf(firings));
  const labels = [...new Set(sets.flatMap((rows) => rows.map(({ label }) => label)))];
  const head = ['', ...columns.flatMap(({ title }) => [title, `${title}: 5 min mean`])];
  const body = labels.map((label) => [
    label,
    ...sets.flatMap((rows) => {
      const row = rows.find((each) => each.label === label);
      return [row?.tool ?? '', row?.bare ?? ''];
    }),
  ]);
  const widths = head.map((text, i) =>
    Math.max(text.length, 3, ...body.map((cells) => cells[i]?.length ?? 0)),
  );
  const line = (cells: readonly string[]) =>
    `| ${cells.map((cell, i) => cell.padEnd(widths[i] ?? 0)).join(' | ')} |`;
  const rule = `| ${widths.map((width) => '-'.repeat(width)).join(' | ')} |`;
  return [line(head), rule, ...body.map(line)].join('\n');
}
