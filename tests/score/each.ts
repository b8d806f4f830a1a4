/** One firing in words: its recipe, what was missed and what was said falsely, with the times since its start. */
import type { FiringMarks, Marks } from './marks.ts';

function hoursOf(minutes: number): string {
  const whole = Math.round(minutes);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}

const signed = (value: number): string => `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(0)}`;

function windowWords({ window, earlyWindowAt }: Marks): string {
  const early = earlyWindowAt.map((at) => `, FALSE ${hoursOf(at)}`).join('');
  if (window === null) return `never crossed${early}`;
  return `${window === 'missed' ? 'MISSED' : `${signed(window.errorMin)} min`}${early}`;
}

export function eachInWords(marks: FiringMarks): string {
  const { tool } = marks;
  const { climbErrors } = tool;
  const rmse = Math.sqrt(climbErrors.reduce((sum, error) => sum + error * error, 0) / climbErrors.length);
  const stalls = tool.stalls.stalls.map(({ stall, delayMin }, i) => {
    const where = `${hoursOf(stall.from)}–${hoursOf(stall.to)} at ${marks.stallsAtC[i]?.toFixed(0)} °C`;
    return `  stall ${where}: ${delayMin === null ? 'MISSED' : `after ${signed(delayMin)} min`}`;
  });
  const falses = tool.stalls.falseAt.map(
    (at, i) =>
      `  FALSE stall ${hoursOf(at)}, truly ${tool.trueAtFalse[i]?.stage}, ${tool.trueAtFalse[i]?.climbCPerH.toFixed(0)} °C/h`,
  );
  const forecasts = tool.forecasts.map(({ what, horizonMin, errorMin, covered }) => {
    const said = errorMin === null ? 'none' : `${signed(errorMin)} min${covered ? '' : ' (outside)'}`;
    return `${what} ${horizonMin} min ahead ${said}`;
  });
  const mishaps = marks.mishaps.map(
    ({ what, probe, sinceMin, delayMin }) =>
      `  ${probe} ${what} from ${hoursOf(sinceMin)}: ${delayMin === null ? 'MISSED' : `told after ${signed(delayMin)} min`}`,
  );
  const faults = marks.falseFaults.map(({ probe, at }) => `  FALSE probe-fault ${probe} ${hoursOf(at)}`);
  const crossed = marks.crossingAt === null ? '' : ` at ${hoursOf(marks.crossingAt)}`;
  return [
    `seed ${marks.seed}: ${marks.words}`,
    `  ${marks.watchedH.toFixed(1)} h watched, ${marks.climbingH.toFixed(1)} h climbing; climb RMSE ${rmse.toFixed(1)} °C/h${marks.closed ? '' : '; NEVER CLOSED'}`,
    ...stalls,
    ...falses,
    `  salting${crossed}: window ${windowWords(tool)}${forecasts.length > 0 ? `; forecast ${forecasts.join(', ')}` : ''}`,
    ...mishaps,
    ...faults,
  ].join('\n');
}

/** Every alert but `stoke-due` of one firing, with its times. */
export function saidInWords({ said }: FiringMarks): string {
  return said
    .map(
      ({ at, name, state, probe }) => `  ${hoursOf(at)} ${name}${probe === null ? '' : ` ${probe}`} ${state}`,
    )
    .join('\n');
}
