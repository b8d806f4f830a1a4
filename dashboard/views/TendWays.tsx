/** Ways to the pages of the hour, while they matter. */
import type { Moment } from '../moment.ts';
import { SALTING, saltingIsNear } from '../salting/salting-words.ts';

export function TendWays({ moment }: { moment: Moment }) {
  const salts = moment.firing.stage === 'salting' || saltingIsNear(moment);
  if (!salts) return null;
  return (
    <nav class="tend-ways" aria-label={SALTING.title}>
      <a class="press" href="#/salting">
        {SALTING.toSalting}
      </a>
    </nav>
  );
}
