/** What would be made of a file: a small curve, figures, and what is not taken as it stands. */
import type { LeftOut, Mapping, Tried } from '../../protocol/imports.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { probeLine } from '../curve/line-styles.ts';
import { sayDate, sayShort, sayTemp, sayWhen } from '../say.ts';
import { type Frame, linePath } from '../sheet/scale.ts';
import { IMPORT } from '../words.ts';

const WIDTH = 600;
const HEIGHT = 200;

interface Props {
  tried: Tried;
  time: Mapping['time'];
  unit: TemperatureUnit;
}

export function ImportLook({ tried, time, unit }: Props) {
  const { rows, from, to, everyMs, probes, leftOut } = tried;
  const when = (at: number) => `${sayDate(at)}, ${sayWhen(at, at)}`;
  return (
    <section class="plan-part">
      <h3>{IMPORT.comes}</h3>
      <Drawing tried={tried} />
      <p>
        {IMPORT.span(rows.toLocaleString(), when(from), when(to))}, {IMPORT.every(sayShort(everyMs))}.
      </p>
      {time.kind !== 'epoch' && <p>{IMPORT.byZone(time.zone)}</p>}
      <ul>
        {probes.map(({ name, leastC, mostC }) => (
          <li key={name}>{IMPORT.probe(name, sayTemp(leastC, unit), sayTemp(mostC, unit))}</li>
        ))}
      </ul>
      <p>{leftOutWords(leftOut)}</p>
    </section>
  );
}

/** In one sentence; nothing is lost without a word. */
function leftOutWords(leftOut: LeftOut): string {
  const words = IMPORT.leftOut;
  const parts = (Object.keys(words) as (keyof LeftOut)[])
    .filter((what) => leftOut[what] > 0)
    .map((what) => words[what](leftOut[what]));
  return parts.length === 0 ? IMPORT.allTaken : IMPORT.rows(parts.join('; '));
}

function Drawing({ tried: { curve, from, to, probes } }: { tried: Tried }) {
  const lowC = Math.min(0, ...probes.map(({ leastC }) => leastC));
  const highC = Math.max(100, ...probes.map(({ mostC }) => mostC));
  const frame: Frame = { from, to, lowC, highC, left: 4, right: WIDTH - 4, top: 6, bottom: HEIGHT - 6 };
  return (
    <svg class="import-curve" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={IMPORT.drawing}>
      <title>{IMPORT.drawing}</title>
      {curve.probes.map(({ probe, tempC }, index) => (
        <path
          key={probe}
          d={linePath(frame, curve.at, tempC)}
          fill="none"
          stroke="currentColor"
          stroke-width={1.6}
          stroke-dasharray={index === 0 ? undefined : probeLine(index - 1).dash.join(' ')}
        />
      ))}
    </svg>
  );
}
