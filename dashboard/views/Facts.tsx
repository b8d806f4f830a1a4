/** What else one asks at a kiln: stage, time, cones, how far to salting heat, how much salt. */
import type { ComponentChildren } from 'preact';
import { parseCone } from '../../protocol/cones.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import type { Columns } from '../curve/columns.ts';
import { litAt } from '../firing.ts';
import { aheadTo, inAbout, isLoose, notBefore, toSalting } from '../how-it-goes.ts';
import type { Moment } from '../moment.ts';
import { saltIsAtHand, saltOf } from '../salt.ts';
import { sayAbout, sayCone, sayDifference, sayIn, sayRange, sayTemp, sayWeight } from '../say.ts';
import { stokingFacts } from '../stoking-words.ts';
import { SAY, STAGE_WORDS } from '../words.ts';

interface Props {
  moment: Moment;
  columns: Columns;
  unit: TemperatureUnit;
  /** A past firing holds no forecasts. */
  past: boolean;
}

function Fact({ name, more, children }: { name: string; more?: string | null; children: ComponentChildren }) {
  return (
    <div class="fact">
      <dt>{name}</dt>
      <dd>
        <span>{children}</span>
        {more && <span class="fact-more">{more}</span>}
      </dd>
    </div>
  );
}

function SaltingHeat({ moment }: { moment: Moment }) {
  const to = moment.fresh.stale ? null : toSalting(moment.firing, moment.now);
  if (to === null) return <Fact name={SAY.toSalting}>{SAY.notYetKnown}</Fact>;
  if (to === 'reached') return <Fact name={SAY.toSalting}>{SAY.reached}</Fact>;
  if (isLoose(to)) return <Fact name={SAY.toSalting}>{SAY.toSaltingAtLeast(notBefore(to))}</Fact>;
  return (
    <Fact name={SAY.toSalting} more={to.highMs === null ? null : sayRange(to.lowMs, to.highMs)}>
      {sayAbout(to.midMs)}
    </Fact>
  );
}

/** The least and the greatest cone that any probe has reached: `5.9 to 6.4`; null before the first. */
function coneWords({ firing }: Moment): string | null {
  const cones = firing.probes
    .flatMap(({ cone }) => (cone === null ? [] : [cone]))
    .sort((a, b) => (parseCone(a) ?? 0) - (parseCone(b) ?? 0));
  const [low, high] = [cones[0], cones.at(-1)];
  if (low === undefined || high === undefined) return null;
  return low === high ? sayCone(low) : SAY.coneRange(low, high);
}

/** `climbing in about 2 hours (1 to 3 hours)`; null where another fact says it. */
function nextStageWords({ firing, now }: Moment): string | null {
  const next = firing.forecast?.forecasts?.nextStage?.stage;
  const ahead = aheadTo(firing, 'nextStage', now);
  if (next === undefined || ahead === null || !['candling', 'hold'].includes(firing.stage)) return null;
  return SAY.nextStage(STAGE_WORDS[next], inAbout(ahead));
}

export function Facts({ moment, columns, unit, past }: Props) {
  const { firing, log, now } = moment;
  const lit = litAt({ log, stages: firing.stages });
  const salted = saltOf(moment).charges > 0;
  const hot = ['climbing', 'hold'].includes(firing.stage);
  const cools = firing.stage === 'cooling' || firing.stage === 'open';
  const cones = coneWords(moment);
  const toCone = past || moment.fresh.stale ? null : aheadTo(firing, 'cone', now);
  const firingTo = SAY.firingTo(firing.plan.firingCone, toCone && toCone.midMs > 0 ? inAbout(toCone) : null);
  const nextStage = past || moment.fresh.stale ? null : nextStageWords(moment);
  return (
    <dl class="facts">
      <Fact name={SAY.stage} more={nextStage ?? (cones === null && !cools ? firingTo : null)}>
        {STAGE_WORDS[firing.stage]}
      </Fact>
      {lit !== null && <Fact name={SAY.sinceLit}>{sayIn(now - lit)}</Fact>}
      {cones !== null && (
        <Fact name={SAY.cones} more={cools ? null : firingTo}>
          {cones}
        </Fact>
      )}
      {hot && !salted && !past && <SaltingHeat moment={moment} />}
      {!cools &&
        !past &&
        !moment.fresh.stale &&
        stokingFacts(firing.stoking, now, unit).map(({ name, words, more }) => (
          <Fact key={name} name={name} more={more}>
            {words}
          </Fact>
        ))}
      {(salted || (!cools && saltIsAtHand(moment, columns.kiln))) && (
        <SaltFacts moment={moment} unit={unit} />
      )}
      {cools && <Fact name={SAY.unbrick}>{SAY.below(sayTemp(firing.plan.unbrickC, unit))}</Fact>}
    </dl>
  );
}

function SaltFacts({ moment, unit }: Pick<Props, 'moment' | 'unit'>) {
  const { firing } = moment;
  const salt = saltOf(moment);
  const heat = salt.charges === 0 ? null : firing.saltHeat;
  const toGo = salt.toGoKg > 0 ? SAY.saltToGo(sayWeight(salt.toGoKg, unit)) : null;
  return (
    <>
      <Fact name={SAY.saltIn} more={toGo}>
        {sayWeight(salt.inKg, unit)}
      </Fact>
      {firing.stage === 'salting' && salt.paceKgPerH !== null && (
        <Fact name={SAY.saltPace}>{SAY.paceAnHour(sayWeight(salt.paceKgPerH, unit))}</Fact>
      )}
      {firing.stage === 'salting' && heat !== null && (
        <Fact name={SAY.peakBefore}>
          {heat.shortC > 0
            ? SAY.notRegained(sayTemp(heat.peakC, unit), sayDifference(heat.shortC, unit))
            : SAY.regained(sayTemp(heat.peakC, unit))}
        </Fact>
      )}
    </>
  );
}
