/** The usual cautions. */
import type { Stage } from '../../protocol/stages.ts';
import { CAUTIONS } from '../words.ts';

/** What may hurt someone in the next hour, beside the figure; nothing while there is nothing special. */
export function CareNow({ stage, saltingNear }: { stage: Stage; saltingNear: boolean }) {
  const salting = stage === 'salting' || stage === 'soak' || saltingNear;
  const opening = stage === 'cooling' || stage === 'open';
  if (!salting && !opening) return null;
  return (
    <ul class="care-now">
      {(salting ? CAUTIONS.salting : CAUTIONS.opening).map((words) => (
        <li key={words}>{words}</li>
      ))}
    </ul>
  );
}

/** The cautions that always hold. */
export function Cautions() {
  return (
    <section class="cautions" aria-labelledby="cautions-title">
      <h2 id="cautions-title">{CAUTIONS.title}</h2>
      <ul>
        {[...CAUTIONS.fire, ...CAUTIONS.always].map((words) => (
          <li key={words}>{words}</li>
        ))}
      </ul>
    </section>
  );
}
