/** What went together with good yields, and whether that is more than chance. */
import { yieldsTold } from '../../collector/core/firing-facts/yields.ts';
import type { PastRow } from '../learn/table.ts';
import { LEARN } from '../words.ts';

/** As many lines as anybody takes in. */
const MOST_LINES = 4;
/** Weaker than this is not worth a line. */
const LEAST_RHO = 0.3;

const sayRho = (rho: number) => `${rho < 0 ? '\u2212' : '+'}${Math.abs(rho).toFixed(2)}`;

export function WentTogether({ rows }: { rows: readonly PastRow[] }) {
  const counted = rows.flatMap(({ firing, answer }) =>
    answer?.yield && !firing.running ? [{ facts: answer.facts, share: answer.yield.share }] : [],
  );
  const { n, looked, together, leastRho, leastFirings } = yieldsTold(counted);
  const shown = together.filter(({ rho }) => Math.abs(rho) >= LEAST_RHO).slice(0, MOST_LINES);
  return (
    <section class="together" aria-labelledby="together-title">
      <h3 id="together-title">{LEARN.together}</h3>
      <p>
        {leastRho === null
          ? LEARN.tooFew(n, leastFirings, looked)
          : LEARN.rule(n, leastRho.toFixed(2), looked)}
      </p>
      {leastRho !== null && (
        <>
          {shown.length === 0 && <p>{LEARN.none}</p>}
          <ul class="together-lines">
            {shown.map(({ figure, rho, n: of, sure }) => (
              <li key={figure}>
                <strong>{LEARN.line(LEARN.figures[figure], rho > 0)}</strong>
                <span>
                  {LEARN.strength(sayRho(rho), of)}, {sure ? LEARN.sure : LEARN.chance}
                </span>
              </li>
            ))}
          </ul>
          {shown.length > 0 && !shown.some(({ sure }) => sure) && <p>{LEARN.noneSure}</p>}
          <p class="quiet">{LEARN.togetherAbout}</p>
        </>
      )}
    </section>
  );
}
