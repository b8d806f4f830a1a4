/** The stoking at one glance: when the next is due, the rhythm of each hole, what a stoke brings, and the wood. */
import { isClosed, lastOf } from '../firing.ts';
import type { Moment } from '../moment.ts';
import type { Page } from '../page.ts';
import { saltIsAtHand } from '../salt.ts';
import { sayDifference, sayGain, sayShort, sayTemp } from '../say.ts';
import type { Settings } from '../settings.ts';
import { everyWords, holesOf, stokeAdvice, woodLasts } from '../stoking/stoking-page-words.ts';
import { stokingFacts } from '../stoking-words.ts';
import { CAUTIONS, SAY, STOKING } from '../words.ts';
import { Advice, Glance } from './Glance.tsx';
import { Hands } from './Hands.tsx';
import { WoodChoice } from './WoodChoice.tsx';

interface Props {
  page: Page;
  moment: Moment;
  settings: Settings;
  change(part: Partial<Settings>): void;
}

export function StokingPage({ page, moment, settings, change }: Props) {
  const { unit } = settings;
  const { firing, log, now } = moment;
  const { gain = null, fuel = null } = firing.stoking ?? {};
  const last = lastOf(log, 'stoke');
  const holes = holesOf(moment);
  const levelC = moment.fresh.stale ? null : firing.kiln.smoothC;
  const { saltingStartC } = firing.plan;
  const closed = isClosed(moment);
  const toGoC = closed || saltingStartC === null || levelC === null ? null : saltingStartC - levelC;
  return (
    <div class={`tend ${closed ? '' : 'has-hands'}`}>
      <section class="tend-glance" aria-labelledby="tend-title">
        <h2 id="tend-title" class="unseen">
          {STOKING.title}
        </h2>
        <Advice {...stokeAdvice(moment)} testId="stoke-advice" />
        {gain?.moreBringsLess && <p class="care-now">{STOKING.choking}</p>}
        <dl class="glances">
          <Glance name={STOKING.since} more={levelC === null ? null : STOKING.kilnAt(sayTemp(levelC, unit))}>
            {last === null ? STOKING.noneYet : sayShort(now - last.at)}
          </Glance>
          <Glance
            name={STOKING.brings}
            more={
              gain?.trend === 'less' ? SAY.lessThanBefore : gain?.trend === 'more' ? SAY.moreThanBefore : null
            }
          >
            {gain === null ? '–' : sayGain(gain.perStokeC, unit)}
          </Glance>
          {(['left', 'right'] as const).map((hole) => {
            const { lastAt } = holes[hole];
            const gainC = hole === 'left' ? gain?.leftC : gain?.rightC;
            const brings =
              gainC === null || gainC === undefined ? [] : [STOKING.eachBrings(sayGain(gainC, unit))];
            return (
              <Glance key={hole} name={STOKING[hole]} more={[everyWords(holes[hole]), ...brings].join(', ')}>
                {lastAt === null ? STOKING.noneYet : sayShort(now - lastAt)}
              </Glance>
            );
          })}
        </dl>
      </section>
      {!closed && (
        <Hands
          moment={moment}
          unit={unit}
          charges={settings.charges}
          stokeKg={settings.stokeKg}
          salts={saltIsAtHand(moment, page.store.columns().kiln)}
          say={page.say}
        />
      )}
      <div class="tend-under">
        <section aria-labelledby="wood-title">
          <h2 id="wood-title">{SAY.wood}</h2>
          <dl class="facts">
            {stokingFacts(firing.stoking, now, unit)
              .filter(({ name }) => name === SAY.wood || name === SAY.stack)
              .map(({ name, words, more }) => (
                <div key={name} class="fact">
                  <dt>{name === SAY.wood ? STOKING.burnt : name}</dt>
                  <dd>
                    {words}
                    <span class="fact-more">{more}</span>
                  </dd>
                </div>
              ))}
            {toGoC !== null && toGoC > 0 && (
              <div class="fact">
                <dt>{STOKING.toGo}</dt>
                <dd>
                  {sayDifference(toGoC, unit)}
                  <span class="fact-more">{STOKING.toSalting}</span>
                </dd>
              </div>
            )}
          </dl>
          {fuel && <p>{woodLasts(fuel)}</p>}
        </section>
        {!closed && (
          <div class="groups">
            <WoodChoice usualKg={firing.plan.wood.stokeKg} settings={settings} change={change} />
          </div>
        )}
        <section class="cautions" aria-labelledby="fire-title">
          <h2 id="fire-title">{CAUTIONS.title}</h2>
          <ul>
            {[...CAUTIONS.fire, ...CAUTIONS.always].map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        </section>
      </div>
    </div>
  );
}
