/** Ways to the pages of the hour, while they matter: the stoking's while the kiln is driven, the salt's when it is near. */
import type { Moment } from '../moment.ts';
import { saltingIsNear } from '../salting/salting-words.ts';
import { LEARN, SALTING, SAY, STOKING } from '../words.ts';

export function TendWays({ moment }: { moment: Moment }) {
  const { stage, summary } = moment.firing;
  const salts = stage === 'salting' || saltingIsNear(moment);
  const stokes = stage === 'climbing' || stage === 'hold' || stage === 'salting';
  if (!salts && !stokes) return null;
  return (
    <nav class="tend-ways" aria-label={SAY.pagesOfTheHour}>
      {salts && (
        <a class="press" href="#/salting">
          {SALTING.toSalting}
        </a>
      )}
      {stokes && (
        <a class="press" href="#/stoking">
          {STOKING.toStoking}
        </a>
      )}
      <a class="press" href={`#/compare/${encodeURIComponent(summary.id)}`}>
        {LEARN.compareWith}
      </a>
    </nav>
  );
}
