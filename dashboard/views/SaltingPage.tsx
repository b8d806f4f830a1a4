/** The hour of the salt, at one glance from two metres: go or wait, salt in and left, since when, which hole, and the heat. */
import { HCL_PER_SALT } from '../../collector/core/salting-facts.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { countingEntries, isClosed } from '../firing.ts';
import { entryWords } from '../log-words.ts';
import type { Moment } from '../moment.ts';
import type { Page } from '../page.ts';
import { type SaltNow, saltNow } from '../salt.ts';
import { ringWords, saltAdvice } from '../salting/salting-words.ts';
import { sayAbout, sayDecimal, sayDifference, sayShort, sayTemp, sayWeight, sayWhen } from '../say.ts';
import type { Settings } from '../settings.ts';
import { CAUTIONS, SALTING, SAY } from '../words.ts';
import { ChargeChoice } from './ChargeChoice.tsx';
import { DrawRings } from './DrawRings.tsx';
import { Advice, Glance } from './Glance.tsx';
import { Hands } from './Hands.tsx';
import { HoldButton } from './HoldButton.tsx';

interface Props {
  page: Page;
  moment: Moment;
  settings: Settings;
  change(part: Partial<Settings>): void;
}

const HOUR_MS = 3_600_000;

/** The peak before the newest lot, and whether it has come back; nothing of it once the salting is over. */
function heatMore({ count, heat, say }: SaltNow, unit: TemperatureUnit): string | null {
  if (say === 'over') return null;
  if (heat === null) return count.lastAt === null ? SALTING.noPeak : null;
  return SALTING.dip(
    sayTemp(heat.peakC, unit),
    sayDifference(Math.max(0, heat.peakC - heat.lowC), unit),
    heat.shortC === 0 ? SALTING.lotRegained : SALTING.notRegained,
  );
}

export function SaltingPage({ page, moment, settings, change }: Props) {
  const { unit } = settings;
  const { firing, now } = moment;
  const salt = saltNow(moment);
  const { count, heat } = salt;
  const advice = saltAdvice(salt, moment, unit);
  // What was measured around the newest lot says nothing any more once the salting is over.
  const over = salt.say === 'over';
  const closed = isClosed(moment);
  const levelC = moment.fresh.stale ? null : firing.kiln.smoothC;
  const weight = (kg: number) => sayWeight(kg, unit);
  const rings = countingEntries(moment.log).filter(({ log }) => log === 'draw');
  const restMs =
    count.paceKgPerH !== null && count.paceKgPerH > 0 && count.toGoKg > 0
      ? (count.toGoKg / count.paceKgPerH) * HOUR_MS
      : null;
  return (
    <div class={`tend ${closed ? '' : 'has-hands'}`}>
      <section class="tend-glance" aria-labelledby="tend-title">
        <h2 id="tend-title" class="unseen">
          {SALTING.title}
        </h2>
        <Advice {...advice} testId="salt-advice" />
        <dl class="glances">
          <Glance
            name={SALTING.saltIn}
            more={count.toGoKg > 0 ? SALTING.toGo(weight(count.toGoKg)) : SALTING.moreThanPlanned}
          >
            {weight(count.inKg)}
          </Glance>
          <Glance name={SALTING.since} more={SALTING.sinceMore(count.charges)}>
            {count.lastAt === null ? SALTING.noneYet : sayShort(now - count.lastAt)}
          </Glance>
          {!over && (
            <Glance
              name={SALTING.nextHole}
              more={SALTING.byHole(weight(count.byHoleKg.left), weight(count.byHoleKg.right))}
            >
              {count.next === null ? SALTING.either : SALTING[count.next]}
            </Glance>
          )}
          <Glance name={SALTING.heat} more={heatMore(salt, unit)}>
            {levelC === null ? SALTING.noHeat : sayTemp((over ? null : heat?.nowC) ?? levelC, unit)}
          </Glance>
        </dl>
      </section>
      {!closed && (
        <Hands
          moment={moment}
          unit={unit}
          charges={settings.charges}
          stokeKg={settings.stokeKg}
          salts={true}
          say={page.say}
        />
      )}
      <div class="tend-under">
        <section aria-labelledby="rings-title">
          <h2 id="rings-title">{SALTING.rings}</h2>
          <p>{ringWords(salt, unit).join(' ')}</p>
          <p class="quiet">{SALTING.ringsShow}</p>
          <ol class="rings-out">
            {rings.map((row) => (
              <li key={row.id}>
                <span class="quiet">{sayWhen(row.at, now)}</span> {entryWords(row.log, row.json, unit)}
              </li>
            ))}
          </ol>
          {!closed && (
            <div class="groups">
              <DrawRings moment={moment} say={page.say} />
            </div>
          )}
        </section>
        <section aria-labelledby="pace-title">
          <h2 id="pace-title">{SALTING.pace}</h2>
          <dl class="facts">
            <div class="fact">
              <dt>{SALTING.paceSoFar}</dt>
              <dd>
                {over || !count.paceKgPerH ? SALTING.noneNow : SALTING.paceAnHour(weight(count.paceKgPerH))}
                <span class="fact-more">{SALTING.planned(weight(firing.plan.saltKg))}</span>
              </dd>
            </div>
            {restMs !== null && (
              <div class="fact">
                <dt>{SALTING.doneIn}</dt>
                <dd>
                  {sayAbout(restMs)}
                  <span class="fact-more">{SALTING.atThisPace}</span>
                </dd>
              </div>
            )}
          </dl>
          {firing.earlierLots.length > 0 && (
            <>
              <h3>{SALTING.lots}</h3>
              <ol class="rings-out">
                {[...firing.earlierLots].reverse().map((lot) => (
                  <li key={lot.beganAt}>
                    <span class="quiet">{sayWhen(lot.beganAt, now)}</span>{' '}
                    {SALTING.lot(
                      sayTemp(lot.peakC, unit),
                      sayDifference(Math.max(0, lot.peakC - lot.lowC), unit),
                      lot.shortC === 0
                        ? SALTING.lotRegained
                        : SALTING.lotShort(sayDifference(lot.shortC, unit)),
                    )}
                  </li>
                ))}
              </ol>
            </>
          )}
          {!closed && (
            <div class="groups">
              <ChargeChoice chargeG={firing.plan.chargeG} settings={settings} change={change} />
              <HoldButton words={SAY.endSalt} onHeld={() => page.say({ log: 'end-salt' })} />
            </div>
          )}
        </section>
        <section class="cautions" aria-labelledby="fume-title">
          <h2 id="fume-title">{SALTING.fume}</h2>
          <ul>
            {count.inKg > 0 && (
              <li>{SALTING.fumeMost(weight(count.hclAtMostKg), sayDecimal(HCL_PER_SALT, 3))}</li>
            )}
            {[...CAUTIONS.salting, ...CAUTIONS.always].map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        </section>
      </div>
    </div>
  );
}
