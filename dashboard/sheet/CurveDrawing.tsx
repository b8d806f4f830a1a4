/**
 * The curve of a firing as a drawing for paper: black on white, nothing told by colour. The sheet shows it, and
 * `spyhole sheet --svg` writes it. Attributes only, and no styles: the page's policy allows none within it.
 */
import type { RecordedFiring } from '../../protocol/firing-record.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { heatWords, spreadLabels, tempMarks, timeMarks, timeWords } from '../curve/axis.ts';
import { crowds } from '../curve/crowds.ts';
import { probeLine } from '../curve/line-styles.ts';
import { type Place, sayTemp } from '../say.ts';
import { SHEET, STAGE_WORDS } from '../words.ts';
import type { SheetFacts } from './facts.ts';
import { type Frame, linePath, stretches, xOf, yOf } from './scale.ts';

export interface DrawingProps {
  record: RecordedFiring;
  facts: SheetFacts;
  unit: TemperatureUnit;
  /** Where the words are read; left out, where this runs. */
  place?: Place;
}

const WIDTH = 1000;
const LEFT = 92;
const RIGHT = 905;
const FIRE_TOP = 30;
const FIRE_BOTTOM = 352;
const ROW = 19;
const ROWS_TOP = FIRE_BOTTOM + 6;
const ROWS = [SHEET.rowLeft, SHEET.rowRight, SHEET.rowDraws, SHEET.rowCones, SHEET.rowCalls];
const [DRAWS, CONES, CALLS] = [2, 3, 4];
const AXIS = 40;
const FIRE_END = ROWS_TOP + ROWS.length * ROW + AXIS;
const WHOLE_TOP = FIRE_END + 24;
const WHOLE_BOTTOM = WHOLE_TOP + 92;
const SIZE = 15;
/** Numbers nearer than this would run into each other. */
const CALLS_APART = 50;
/** Width of a letter, in its size: about. */
const LETTER = 0.53;
const FONT = "'Atkinson Hyperlegible Next Variable', 'Liberation Sans', Arial, sans-serif";
const GREY = '#767676';
const TINT = '#efefef';

export function CurveDrawing(props: DrawingProps) {
  const { record, facts, unit } = props;
  const { fire, whole } = stretches(facts);
  const heights = heightsOf(record, facts);
  const frame: Frame = { ...fire, ...heights, left: LEFT, right: RIGHT, top: FIRE_TOP, bottom: FIRE_BOTTOM };
  const height = whole === null ? FIRE_END : WHOLE_BOTTOM + AXIS;
  const top = facts.top === null ? '' : sayTemp(facts.top.tempC, unit);
  return (
    <svg
      xmlns="http://www.w3.org/2000/svg"
      viewBox={`0 0 ${WIDTH} ${height}`}
      width={WIDTH}
      height={height}
      role="img"
      aria-label={SHEET.curveAbout(record.firing.name, top)}
      font-family={FONT}
      font-size={SIZE}
      fill="#000"
      class="sheet-curve"
    >
      <title>{SHEET.curveAbout(record.firing.name, top)}</title>
      <rect x={0} y={0} width={WIDTH} height={height} fill="#fff" />
      <Fire {...props} frame={frame} />
      {whole !== null && (
        <Whole {...props} frame={{ ...frame, ...whole, top: WHOLE_TOP, bottom: WHOLE_BOTTOM }} />
      )}
    </svg>
  );
}

function heightsOf({ curve }: RecordedFiring, { plan, top }: SheetFacts): { lowC: number; highC: number } {
  let [low, high] = [0, Math.max(top?.tempC ?? 0, 100)];
  for (const { tempC } of curve.probes) {
    for (const cell of tempC) {
      if (cell === null) continue;
      low = Math.min(low, cell);
      high = Math.max(high, cell);
    }
  }
  // Heats that matter are drawn where the kiln came near them.
  if (plan.topC < high * 1.1) high = Math.max(high, plan.topC);
  return { lowC: low, highC: high * 1.04 };
}

type PanelProps = DrawingProps & { frame: Frame };

function Fire(props: PanelProps) {
  const { facts, frame } = props;
  return (
    <g>
      <StageBands {...props} named />
      <HeatScale {...props} most={8} />
      <HeatLine frame={frame} tempC={facts.plan.saltingStartC} words={SHEET.saltingHeat} above={false} />
      <HeatLine frame={frame} tempC={facts.plan.topC} words={SHEET.topHeat} above />
      <TimeScale {...props} y={ROWS_TOP + ROWS.length * ROW} most={11} />
      <Lines {...props} named />
      <Rows {...props} />
    </g>
  );
}

function Whole(props: PanelProps) {
  const { frame } = props;
  return (
    <g>
      <text x={LEFT} y={frame.top - 7} font-weight="600">
        {SHEET.toTheEnd}
      </text>
      <StageBands {...props} named={false} />
      <HeatScale {...props} most={3} />
      <TimeScale {...props} y={frame.bottom} most={9} />
      <Lines {...props} named={false} />
    </g>
  );
}

/** Every other stage is tinted. Its name stands above it, or upright in it where it is narrow: never over another's. */
function StageBands({ record, frame, named }: PanelProps & { named: boolean }) {
  const { stages } = record;
  return (
    <g>
      {stages.map(({ stage, from }, index) => {
        const end = stages[index + 1]?.from ?? frame.to;
        if (end <= frame.from || from >= frame.to) return null;
        const left = xOf(frame, Math.max(from, frame.from));
        const right = xOf(frame, Math.min(end, frame.to));
        const words = STAGE_WORDS[stage];
        const wide = right - left;
        const fits = named && 4 + words.length * SIZE * LETTER <= wide;
        const upright = named && !fits && wide > SIZE + 4;
        return (
          <g key={from}>
            {index % 2 === 1 && (
              <rect
                x={left}
                y={frame.top}
                width={right - left}
                height={frame.bottom - frame.top}
                fill={TINT}
              />
            )}
            {index > 0 && (
              <path
                d={`M${left} ${frame.top - (fits ? 4 : 0)}V${frame.bottom}`}
                stroke={GREY}
                stroke-dasharray="2 3"
              />
            )}
            {fits && (
              <text x={left + 4} y={frame.top - 9}>
                {words}
              </text>
            )}
            {upright && (
              <text
                transform={`translate(${(left + wide / 2 + SIZE / 3).toFixed(1)} ${frame.bottom - 8}) rotate(-90)`}
              >
                {words}
              </text>
            )}
          </g>
        );
      })}
    </g>
  );
}

function HeatScale({ frame, unit, most }: PanelProps & { most: number }) {
  const marks = tempMarks(frame.lowC, frame.highC, unit, most);
  const words = heatWords(marks, unit);
  return (
    <g>
      {marks.map((markC, index) => {
        const y = yOf(frame, markC);
        return (
          <g key={markC}>
            <path d={`M${LEFT} ${y}H${RIGHT}`} stroke="#c4c4c4" stroke-width={0.6} />
            <text x={LEFT - 7} y={y + 5} text-anchor="end">
              {words[index]}
            </text>
          </g>
        );
      })}
      <rect
        x={LEFT}
        y={frame.top}
        width={RIGHT - LEFT}
        height={frame.bottom - frame.top}
        fill="none"
        stroke="#000"
        stroke-width={0.8}
      />
    </g>
  );
}

function HeatLine({
  frame,
  tempC,
  words,
  above,
}: {
  frame: Frame;
  tempC: number | null;
  words: string;
  above: boolean;
}) {
  if (tempC === null || tempC > frame.highC || tempC < frame.lowC) return null;
  const y = yOf(frame, tempC);
  return (
    <g>
      <path d={`M${LEFT} ${y}H${RIGHT}`} stroke="#000" stroke-width={0.9} stroke-dasharray="1.5 4" />
      <text x={LEFT + 6} y={above && y - SIZE > frame.top ? y - 4 : y + SIZE - 1}>
        {words}
      </text>
    </g>
  );
}

/** How long in, and the clock under it. */
function TimeScale({ facts, frame, place = {}, y, most }: PanelProps & { y: number; most: number }) {
  const origin = facts.lit ?? frame.from;
  return (
    <g>
      {timeMarks(frame.from, frame.to, origin, most).map((at) => {
        const x = xOf(frame, at);
        const [since = '', clock] = timeWords(at, facts.lit, place).split('\n');
        return (
          <g key={at}>
            <path d={`M${x} ${frame.top}V${y + 4}`} stroke="#dcdcdc" stroke-width={0.6} />
            <text x={x} y={y + 18} text-anchor="middle">
              {since}
            </text>
            <text x={x} y={y + 34} text-anchor="middle" fill="#3a3a3a">
              {clock}
            </text>
          </g>
        );
      })}
    </g>
  );
}

/** The probes thin and dashed, the kiln thick and whole; their names stand where they end. */
function Lines({ record, frame, named }: PanelProps & { named: boolean }) {
  const { curve } = record;
  const lines = [
    ...curve.probes.map(({ probe, tempC }, index) => ({
      name: probe,
      cells: tempC,
      width: 1,
      dash: probeLine(index).dash.join(' '),
    })),
    { name: SHEET.kilnLine, cells: curve.kiln, width: named ? 2.4 : 1.6, dash: undefined },
  ];
  const shown = named ? lines : lines.slice(-1);
  const ends = shown.map(({ cells }) => lastWithin(frame, curve.at, cells));
  const labels = spreadLabels(
    ends.map((end) => (end === null ? frame.bottom : yOf(frame, end))),
    SIZE + 1,
    frame.top + 6,
    frame.bottom - 4,
  );
  return (
    <g>
      {shown.map(({ name, cells, width, dash }, index) => (
        <g key={name}>
          <path
            d={linePath(frame, curve.at, cells)}
            fill="none"
            stroke="#000"
            stroke-width={width}
            stroke-dasharray={dash}
            stroke-linecap={dash === undefined ? 'round' : 'butt'}
            stroke-linejoin="round"
          />
          {named && ends[index] !== null && (
            <>
              <path
                d={`M${RIGHT + 2} ${yOf(frame, ends[index] ?? 0)}L${RIGHT + 10} ${labels[index]}h14`}
                fill="none"
                stroke="#000"
                stroke-width={width}
                stroke-dasharray={dash}
              />
              <text x={RIGHT + 27} y={(labels[index] ?? 0) + 5} font-weight={dash === undefined ? 700 : 400}>
                {name}
              </text>
            </>
          )}
        </g>
      ))}
    </g>
  );
}

function lastWithin(
  { from, to }: Frame,
  at: readonly number[],
  cells: readonly (number | null | undefined)[],
): number | null {
  for (let row = at.length - 1; row >= 0; row -= 1) {
    const cell = cells[row];
    const time = at[row] ?? 0;
    if (typeof cell === 'number' && time >= from && time <= to) return cell;
  }
  return null;
}

/** Under the curve: stokes and salt by hole, what was seen, and what called, by its number in the list. */
function Rows({ facts, frame }: PanelProps) {
  const x = (at: number) => xOf(frame, at);
  const middle = (row: number) => ROWS_TOP + (row + 0.5) * ROW;
  const within = <One extends { at: number }>(all: readonly One[]) =>
    all.filter(({ at }) => at >= frame.from && at <= frame.to);
  const rowOf = (hole: 'left' | 'right' | null) => (hole === 'right' ? 1 : 0);
  const ticks = within(facts.stokes)
    .map(({ at, hole }) => `M${x(at).toFixed(1)} ${middle(rowOf(hole)) - 8}v9`)
    .join('');
  const grains = within(facts.charges)
    .map(({ at, hole }) => `M${(x(at) - 1.6).toFixed(1)} ${middle(rowOf(hole)) + 3}h3.2v5h-3.2z`)
    .join('');
  const calls = facts.alerts
    .map(({ number, alert }) => ({ number, at: alert.raisedAt }))
    .filter(({ at }) => at >= frame.from && at <= frame.to);
  return (
    <g>
      {ROWS.map((words, row) => (
        <g key={words}>
          <text x={LEFT - 7} y={middle(row) + 5} text-anchor="end" font-size={14}>
            {words}
          </text>
          <path d={`M${LEFT} ${ROWS_TOP + (row + 1) * ROW}H${RIGHT}`} stroke="#dcdcdc" stroke-width={0.6} />
        </g>
      ))}
      <path d={ticks} stroke="#000" stroke-width={1.1} fill="none" />
      <path d={grains} fill="#000" />
      {within(facts.draws).map(({ at, entry }) => (
        <circle
          key={entry}
          cx={x(at)}
          cy={middle(DRAWS)}
          r={5}
          fill="none"
          stroke="#000"
          stroke-width={1.8}
        />
      ))}
      {within(facts.conesSeen).map(({ at, entry, log }) => (
        <path
          key={entry}
          d={`M${x(at).toFixed(1)} ${middle(CONES) - 7}l5.5 13h-11z`}
          fill={log === 'cone-down' ? '#000' : '#fff'}
          stroke="#000"
          stroke-width={1.2}
        />
      ))}
      {crowds(calls, x, CALLS_APART).map((crowd) => (
        <text
          key={crowd[0]?.number}
          x={x(crowd[0]?.at ?? frame.from)}
          y={middle(CALLS) + 5}
          text-anchor="middle"
          font-weight={700}
        >
          {numbersOf(crowd)}
        </text>
      ))}
    </g>
  );
}

/** `4`, or `4–6` where they lie too near to each other to be told apart. */
function numbersOf(crowd: readonly { number: number }[]): string {
  const [first, last] = [crowd[0]?.number, crowd.at(-1)?.number];
  return first === last ? `${first}` : `${first}–${last}`;
}
