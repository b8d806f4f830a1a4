/** What else one asks at a kiln: stage, time, cones, how far to salting heat, how much salt. */
import type { ComponentChildren } from 'preact';
import type { TemperatureUnit } from '../../protocol/units.ts';
import type { Columns } from '../curve/columns.ts';
import { litAt } from '../firing.ts';
import { peakBefore, saltSoFar } from '../salt.ts';
import { sayAbout, sayDifference, sayIn, sayShort, sayTemp, sayWeight } from '../say.ts';
import { type Moment, toSalting } from '../sentence.ts';
import { SAY, STAGE_WORDS } from '../words.ts';

interface Props {
  moment: Moment;
  columns: Columns;
  unit: TemperatureUnit;
  /** A past firing holds no forecasts. */
  past: boolean;
}

function Fact({ name, children }: { name: string; children: ComponentChildren }) {
  return (
    <div class="fact">
      <dt>{name}</dt>
      <dd>{children}</dd>
    </div>
  );
}

function SaltingHeat({ moment }: { moment: Moment }) {
  const to = toSalting(moment.firing, moment.now);
  if (to === null) return <>{SAY.notYetKnown}</>;
  if (to === 'reached') return <>{SAY.reached}</>;
  const range =
    to.highMs === null
      ? SAY.toSaltingAtLeast(sayShort(to.lowMs))
      : SAY.toSaltingRange(sayShort(to.lowMs), sayShort(to.highMs));
  return (
    <>
      {sayAbout(to.midMs)} <span class="fact-more">{range}</span>
    </>
  );
}

export function Facts({ moment, columns, unit, past }: Props) {
  const { firing, log, now } = moment;
  const lit = litAt({ log, stages: firing.stages });
  const salt = saltSoFar(log, firing.plan, now);
  const peakC = salt.lotBeganAt === null ? null : peakBefore(salt.lotBeganAt, columns.at, columns.kiln);
  const kilnC = firing.kiln.smoothC;
  const salted = salt.charges > 0;
  const hot = ['climbing', 'hold', 'salting'].includes(firing.stage);
  const coned = firing.probes.filter(({ cone }) => cone !== null);
  return (
    <dl class="facts">
      <Fact name={SAY.stage}>{STAGE_WORDS[firing.stage]}</Fact>
      <Fact name={SAY.sinceLit}>{lit === null ? SAY.notLitYet : sayIn(now - lit)}</Fact>
      {coned.length > 0 && (
        <Fact name={SAY.cones}>
          {coned.map(({ name, cone }) => (
            <span key={name} class="cone-of">
              {name} <strong>{cone}</strong>
            </span>
          ))}
        </Fact>
      )}
      <Fact name={SAY.firingCone}>{SAY.coneOf(firing.plan.firingCone)}</Fact>
      {hot && !salted && !past && (
        <Fact name={SAY.toSalting}>
          <SaltingHeat moment={moment} />
        </Fact>
      )}
      {(hot || salted) && (
        <>
          <Fact name={SAY.saltIn}>{sayWeight(salt.inKg, unit)}</Fact>
          <Fact name={SAY.saltToGo}>{sayWeight(salt.toGoKg, unit)}</Fact>
        </>
      )}
      {firing.stage === 'salting' && salt.paceKgPerH !== null && (
        <Fact name={SAY.saltPace}>{SAY.paceAnHour(sayWeight(salt.paceKgPerH, unit))}</Fact>
      )}
      {firing.stage === 'salting' && peakC !== null && (
        <Fact name={SAY.peakBefore}>
          {kilnC !== null && kilnC < peakC - 0.5
            ? SAY.notRegained(sayTemp(peakC, unit), sayDifference(peakC - kilnC, unit))
            : SAY.regained(sayTemp(peakC, unit))}
        </Fact>
      )}
    </dl>
  );
}
