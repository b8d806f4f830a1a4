/** The other kilns of this collector: the way to their pages, and what calls for a person there. */
import type { AlertPriority } from '../../protocol/alert-names.ts';
import type { OtherKiln } from '../../protocol/live-messages.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { inOneUnit } from '../say.ts';
import { SAY } from '../words.ts';

const URGENCY: AlertPriority[] = ['come-now', 'look-soon', 'note'];

/** The one that is told: what nobody has heard first, then the most urgent. */
function first(alerts: OtherKiln['alerts']) {
  const rank = ({ acknowledged, priority }: OtherKiln['alerts'][number]) =>
    (acknowledged ? URGENCY.length : 0) + URGENCY.indexOf(priority);
  return [...alerts].sort((a, b) => rank(a) - rank(b))[0];
}

export function OtherKilns({ others, unit }: { others: readonly OtherKiln[]; unit: TemperatureUnit }) {
  if (others.length === 0) return null;
  return (
    <nav class="other-kilns" aria-label={SAY.otherKilns}>
      {others.map(({ kiln, path, alerts }) => {
        const told = first(alerts);
        const tone = told === undefined || told.acknowledged ? 'heard' : told.priority;
        return (
          <a key={kiln} href={path} class={`now-strip tone-${tone}`} role={told ? 'status' : undefined}>
            {told ? SAY.kilnSays(kiln, inOneUnit(told.text, unit)) : SAY.kilnCalled(kiln)}
          </a>
        );
      })}
    </nav>
  );
}
