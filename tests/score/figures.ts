/** The figures of a set of firings: a row each, for the tool and for the bare mean beside it. */
import { ALERT_NAMES, type AlertName } from '../../protocol/alert-names.ts';
import type { Stage } from '../../protocol/stages.ts';
import { type Foretold, HORIZONS_MIN } from './ahead.ts';
import type { FiringMarks, Marks } from './marks.ts';
import { quantile, STALL_CLIMB_C_PER_H } from './rules.ts';
import type { StokeMarks } from './stokes.ts';

/** A number, null where there is none, and how it is printed. */
export interface Cell {
  value: number | null;
  text: string;
}

/** `bare` is null where the bare mean says nothing of the kind. */
export interface Row {
  label: string;
  tool: Cell;
  bare: Cell | null;
  /** Of an alert that was never raised. */
  silent?: boolean;
}

const AFTER_CLIMBING: readonly Stage[] = ['salting', 'soak', 'cooling', 'open'];
const FORETOLD: readonly Foretold[] = ['salting heat', 'firing cone', 'unbricking'];
const MISHAPS = ['opens', 'is loose', 'sticks', 'spikes', 'drifts'] as const;

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

function plain(value: number, decimals: number, behind = ''): Cell {
  return Number.isFinite(value)
    ? { value, text: `${value.toFixed(decimals)}${behind}` }
    : { value: null, text: '–' };
}

/** As a percentage; `value` is the part of 1. */
function share(part: number, whole: number): Cell {
  if (whole === 0) return { value: null, text: '–' };
  return { value: part / whole, text: `${((100 * part) / whole).toFixed(0)} % (${part} of ${whole})` };
}

function per100(count: number, hours: number): Cell {
  return plain((100 * count) / hours, 2, ` (${count})`);
}

type OfMarks = (marks: readonly Marks[]) => Cell;

function both(firings: readonly FiringMarks[], label: string, of: OfMarks): Row {
  return { label, tool: of(firings.map(({ tool }) => tool)), bare: of(firings.map(({ bare }) => bare)) };
}

/** All rows of a set, in the table's order. */
export function rowsOf(firings: readonly FiringMarks[]): Row[] {
  return [
    ...hourRows(firings),
    ...stallRows(firings),
    ...climbRows(firings),
    ...windowRows(firings),
    ...FORETOLD.flatMap((what) =>
      HORIZONS_MIN[what].flatMap((horizonMin) => forecastRows(firings, what, horizonMin)),
    ),
    ...faultRows(firings),
    ...stokeRows(firings),
    ...alertRows(firings),
  ];
}

function hourRows(firings: readonly FiringMarks[]): Row[] {
  const hours = (label: string, of: (firing: FiringMarks) => number): Row => ({
    label,
    tool: plain(sum(firings.map(of)), 0),
    bare: null,
  });
  return [
    hours('firings', () => 1),
    hours('hours watched', ({ watchedH }) => watchedH),
    hours('hours from light-up to clam-up', ({ firingH }) => firingH),
    hours('hours of true climbing', ({ climbingH }) => climbingH),
  ];
}

function stallRows(firings: readonly FiringMarks[]): Row[] {
  const climbingH = sum(firings.map((firing) => firing.climbingH));
  const firingH = sum(firings.map((firing) => firing.firingH));
  const delays = (marks: readonly Marks[]) =>
    marks.flatMap(({ stalls }) => stalls.stalls.flatMap(({ delayMin }) => delayMin ?? []));
  const falses = (marks: readonly Marks[]) => marks.flatMap(({ trueAtFalse }) => trueAtFalse);
  const row = (label: string, of: OfMarks) => both(firings, label, of);
  return [
    row('stalls found', (marks) =>
      share(delays(marks).length, marks.flatMap(({ stalls }) => stalls.stalls).length),
    ),
    row('stall, delay, median, min', (marks) => plain(quantile(delays(marks), 0.5), 1)),
    row('stall, delay, 90th percentile, min', (marks) => plain(quantile(delays(marks), 0.9), 1)),
    row('false stalls per 100 h of true climbing', (marks) => per100(falses(marks).length, climbingH)),
    row('false stalls per 100 h, light-up to clam-up', (marks) => per100(falses(marks).length, firingH)),
    {
      label: 'with those that call again after they eased, per 100 h, light-up to clam-up',
      tool: per100(sum(firings.map(({ falseStallCalls }) => falseStallCalls)), firingH),
      bare: null,
    },
    row('of the false: truly climbing, but by less than 11 °C/h', (marks) => {
      const all = falses(marks);
      const low = all.filter((at) => at.stage === 'climbing' && at.climbCPerH < STALL_CLIMB_C_PER_H);
      return share(low.length, all.length);
    }),
    row('of the false: truly candling or holding', (marks) => {
      const all = falses(marks);
      return share(all.filter(({ stage }) => stage === 'candling' || stage === 'hold').length, all.length);
    }),
    row('of the false: truly salting, soaking or cooling', (marks) => {
      const all = falses(marks);
      return share(all.filter(({ stage }) => AFTER_CLIMBING.includes(stage)).length, all.length);
    }),
  ];
}

/** One way to the climb, in words. */
export interface WayRow {
  way: string;
  rmse: string;
  median: string;
  found: string;
  delay: string;
  falses: string;
}

type WayMarks = Pick<Marks, 'stalls' | 'climbErrors'>;

function wayRow(way: string, marks: readonly WayMarks[], firingH: number): WayRow {
  const errors = marks.flatMap(({ climbErrors }) => climbErrors);
  const stalls = marks.flatMap(({ stalls: found }) => found.stalls);
  const delays = stalls.flatMap(({ delayMin }) => delayMin ?? []);
  const falses = sum(marks.map(({ stalls: found }) => found.falseAt.length));
  return {
    way,
    rmse: plain(Math.sqrt(sum(errors.map((error) => error * error)) / errors.length), 1).text,
    median: plain(quantile(errors.map(Math.abs), 0.5), 1).text,
    found: share(delays.length, stalls.length).text,
    delay: `${plain(quantile(delays, 0.5), 1).text} / ${plain(quantile(delays, 0.9), 1).text}`,
    falses: per100(falses, firingH).text,
  };
}

/** The track, the bare mean and the other ways beside each other. */
export function wayRowsOf(firings: readonly FiringMarks[]): WayRow[] {
  const firingH = sum(firings.map((firing) => firing.firingH));
  const others = (firings[0]?.others ?? []).map(({ way }, i) =>
    wayRow(
      way,
      firings.flatMap(({ others: all }) => all[i]?.marks ?? []),
      firingH,
    ),
  );
  const track = wayRow(
    'the track',
    firings.map(({ tool }) => tool),
    firingH,
  );
  return [
    track,
    ...others,
    wayRow(
      '5 min mean',
      firings.map(({ bare }) => bare),
      firingH,
    ),
  ];
}

function climbRows(firings: readonly FiringMarks[]): Row[] {
  const errors = (marks: readonly Marks[]) => marks.flatMap(({ climbErrors }) => climbErrors);
  const row = (label: string, of: OfMarks) => both(firings, label, of);
  const covered = sum(firings.map(({ coveredMin }) => coveredMin));
  const told = errors(firings.map(({ tool }) => tool)).length;
  return [
    row('climb, root mean square error, °C/h', (marks) => {
      const all = errors(marks);
      return plain(Math.sqrt(sum(all.map((error) => error * error)) / all.length), 1);
    }),
    row('climb, median absolute error, °C/h', (marks) =>
      plain(quantile(errors(marks).map(Math.abs), 0.5), 1),
    ),
    {
      label: 'climb, cover of the 90 % interval, %',
      tool: plain((100 * covered) / told, 1),
      bare: null,
    },
    row('climb not told, of the minutes of climbing, %', (marks) => {
      const untold = sum(marks.map(({ untoldMin }) => untoldMin));
      return plain((100 * untold) / (untold + errors(marks).length), 1);
    }),
  ];
}

function windowRows(firings: readonly FiringMarks[]): Row[] {
  const found = (marks: readonly Marks[]) => marks.flatMap(({ window }) => window ?? []);
  const errors = (marks: readonly Marks[]) =>
    found(marks).flatMap((each) => (each === 'missed' ? [] : Math.abs(each.errorMin)));
  const row = (label: string, of: OfMarks) => both(firings, label, of);
  return [
    row('salting window, error, median, min', (marks) => plain(quantile(errors(marks), 0.5), 1)),
    row('salting window, error, 90th percentile, min', (marks) => plain(quantile(errors(marks), 0.9), 1)),
    row('salting window missed', (marks) =>
      share(found(marks).length - errors(marks).length, found(marks).length),
    ),
    row('salting window raised over an hour too early', (marks) =>
      plain(sum(marks.map(({ earlyWindowAt }) => earlyWindowAt.length)), 0),
    ),
  ];
}

function forecastRows(firings: readonly FiringMarks[], what: Foretold, horizonMin: number): Row[] {
  const ahead = horizonMin >= 60 ? `${horizonMin / 60} h` : `${horizonMin} min`;
  const asked = (marks: readonly Marks[]) =>
    marks.flatMap(({ forecasts }) =>
      forecasts.filter((each) => each.what === what && each.horizonMin === horizonMin),
    );
  const errors = (marks: readonly Marks[]) => asked(marks).flatMap(({ errorMin }) => errorMin ?? []);
  const told = asked(firings.map(({ tool }) => tool));
  const covers = told.flatMap(({ covered }) => covered ?? []);
  const widths = told.flatMap(({ covered, widthMin }) =>
    covered === null ? [] : (widthMin ?? Number.POSITIVE_INFINITY),
  );
  const ofBoth = what === 'salting heat';
  const row = (label: string, of: OfMarks): Row => {
    const { bare, ...rest } = both(firings, `${what} ${ahead} ahead, ${label}`, of);
    return { ...rest, bare: ofBoth ? bare : null };
  };
  const ofTool = (label: string, tool: Cell): Row => ({
    label: `${what} ${ahead} ahead, ${label}`,
    tool,
    bare: null,
  });
  return [
    row('told', (marks) => share(errors(marks).length, asked(marks).length)),
    row('absolute error, median, min', (marks) => plain(quantile(errors(marks).map(Math.abs), 0.5), 1)),
    row('too late (+) or early, median, min', (marks) => plain(quantile(errors(marks), 0.5), 1)),
    ofTool('cover of the 80 % interval', share(covers.filter(Boolean).length, covers.length)),
    ofTool('width of the 80 % interval, median, min', plain(quantile(widths, 0.5), 0)),
  ];
}

function faultRows(firings: readonly FiringMarks[]): Row[] {
  const all = firings.flatMap(({ mishaps }) => mishaps);
  const kinds = MISHAPS.map((kind): Row => {
    const of = all.filter(({ what }) => what === (kind === 'is loose' ? 'loose' : kind));
    const delays = of.flatMap(({ delayMin }) => delayMin ?? []);
    const { value, text } = share(delays.length, of.length);
    const after = delays.length > 0 ? `, after ${quantile(delays, 0.5).toFixed(0)} min` : '';
    return { label: `told of a probe that ${kind}`, tool: { value, text: `${text}${after}` }, bare: null };
  });
  const falses = sum(firings.map(({ falseFaults }) => falseFaults.length));
  const watchedH = sum(firings.map((firing) => firing.watchedH));
  return [
    ...kinds,
    { label: 'false probe faults per 100 h watched', tool: per100(falses, watchedH), bare: null },
  ];
}

const PERIODS_S = [1, 2, 5, 10, 20] as const;

function stokeRows(firings: readonly FiringMarks[]): Row[] {
  const row = (label: string, tool: Cell): Row => ({ label, tool, bare: null });
  const of = (periodS?: number) => {
    const marks = firings
      .map(({ stokes }) => stokes)
      .filter((each) => periodS === undefined || each.periodS === periodS);
    const all = (count: (each: StokeMarks) => number) => sum(marks.map(count));
    return { all, delaysS: marks.flatMap(({ delaysS }) => delaysS), marks };
  };
  const { all, delaysS, marks } = of();
  const nextOffS = marks.flatMap((each) => each.nextOffS).map(Math.abs);
  const seenOffS = marks.flatMap((each) => each.seenOffS);
  const seenOff90 = quantile(seenOffS.map(Math.abs), 0.9);
  return [
    row(
      'peaks after a stoke found',
      share(
        delaysS.length,
        all(({ peaks }) => peaks),
      ),
    ),
    row('peak, delay, median, s', plain(quantile(delaysS, 0.5), 0)),
    row('peak, delay, 90th percentile, s', plain(quantile(delaysS, 0.9), 0)),
    row(
      'of the peaks told, false',
      share(
        all(({ falsely }) => falsely),
        all(({ told }) => told),
      ),
    ),
    ...PERIODS_S.map((periodS) => {
      const some = of(periodS);
      const falsely = share(
        some.all((each) => each.falsely),
        some.all(({ told }) => told),
      );
      return row(
        `peak, read each ${periodS} s: delay, median, s`,
        plain(quantile(some.delaysS, 0.5), 0, `; false ${falsely.text}`),
      );
    }),
    row(
      'stokes seen in the signal',
      share(
        seenOffS.length,
        all(({ stokes }) => stokes),
      ),
    ),
    row(
      'of the stokes seen, true',
      share(
        seenOffS.length,
        all(({ lows }) => lows),
      ),
    ),
    row('stoke seen: its time less the truth, median, s', plain(quantile(seenOffS, 0.5), 0)),
    row('stoke seen: the same, absolute, 90th percentile, s', plain(seenOff90, 0)),
    row(
      'next stoke as told 2 min after the last, less the peak, absolute, median, s',
      plain(quantile(nextOffS, 0.5), 0),
    ),
  ];
}

function alertRows(firings: readonly FiringMarks[]): Row[] {
  const watchedH = sum(firings.map((firing) => firing.watchedH));
  const raisedOf = (name: AlertName) => sum(firings.map(({ raised }) => raised[name] ?? 0));
  const row = (label: string, tool: Cell): Row => ({ label, tool, bare: null });
  // A call at each peak of the heat is the rhythm of the firing, and no trouble.
  const troubles = ALERT_NAMES.filter((name) => name !== 'stoke-due');
  return [
    row('alerts an hour watched, but stoke-due', plain(sum(troubles.map(raisedOf)) / watchedH, 2)),
    row(
      'the most alerts in any 10 min, but stoke-due',
      plain(Math.max(0, ...firings.map(({ mostIn10Min }) => mostIn10Min)), 0),
    ),
    ...ALERT_NAMES.map((name) => ({
      ...row(`raised a firing: ${name}`, plain(raisedOf(name) / firings.length, 2)),
      silent: raisedOf(name) === 0,
    })),
  ];
}
