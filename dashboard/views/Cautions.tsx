/** The usual cautions. */
import type { Stage } from '../../protocol/stages.ts';
import { CAUTIONS } from '../words.ts';

/** What may hurt someone in the next hour, in a few words; nothing while there is nothing special. */
export function CareNow({ stage, saltingNear }: { stage: Stage; saltingNear: boolean }) {
  const salting = stage === 'salting' || stage === 'soak' || saltingNear;
  if (salting) return <p class="care-now">{CAUTIONS.saltingNow}</p>;
  if (stage === 'cooling' || stage === 'open') return <p class="care-now">{CAUTIONS.coolingNow}</p>;
  return null;
}

/** All of them, with what matters at this stage first. */
export function Cautions({ stage }: { stage: Stage }) {
  const { fire, salting, opening, always } = CAUTIONS;
  const cools = stage === 'cooling' || stage === 'open';
  return (
    <section class="cautions" aria-labelledby="cautions-title">
      <h2 id="cautions-title">{CAUTIONS.title}</h2>
      <ul>
        {[...(cools ? [...opening, ...fire, ...salting] : [...fire, ...salting, ...opening]), ...always].map(
          (words) => (
            <li key={words}>{words}</li>
          ),
        )}
      </ul>
    </section>
  );
}
