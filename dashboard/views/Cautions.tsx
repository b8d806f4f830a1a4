/** The usual cautions, those first that matter now. */
import type { Stage } from '../../protocol/stages.ts';
import { CAUTIONS } from '../words.ts';

function cautionsFor(stage: Stage, saltingNear: boolean): readonly string[] {
  if (stage === 'salting' || stage === 'soak' || saltingNear) return [...CAUTIONS.salting, ...CAUTIONS.fire];
  if (stage === 'cooling' || stage === 'open') return CAUTIONS.opening;
  return CAUTIONS.fire;
}

export function Cautions({ stage, saltingNear }: { stage: Stage; saltingNear: boolean }) {
  return (
    <section class="cautions" aria-labelledby="cautions-title">
      <h2 id="cautions-title">{CAUTIONS.title}</h2>
      <ul>
        {[...cautionsFor(stage, saltingNear), ...CAUTIONS.always].map((words) => (
          <li key={words}>{words}</li>
        ))}
      </ul>
    </section>
  );
}
