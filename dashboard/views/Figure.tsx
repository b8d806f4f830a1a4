/** The kiln's temperature, to be read from three steps away, with its climb, its age and its colour. */
import type { TemperatureUnit } from '../../protocol/units.ts';
import { glowAt } from '../heat-colour.ts';
import type { Moment } from '../moment.ts';
import { sayClimb, sayDifference, saySpan, tempFigure, unitSign, wayOf } from '../say.ts';
import { SAY } from '../words.ts';
import { Spyhole, WayArrow } from './icons.tsx';

const WAY_WORDS = { up: SAY.climbingWord, down: SAY.fallingWord, still: SAY.stillWord };

interface Props {
  moment: Moment;
  unit: TemperatureUnit;
  /** Firing seconds in a second: where they fly, an age in seconds would only flicker. */
  rate: number;
  /** A past firing has no age. */
  past: boolean;
}

function ageWords({ fresh }: Moment, old: boolean, rate: number): string {
  if (fresh.ageMs === null) return SAY.noReading;
  if (old) return SAY.oldReading(saySpan(fresh.ageMs));
  return rate > 4 || fresh.ageMs < 1000 ? SAY.readJustNow : SAY.readAgo(saySpan(fresh.ageMs));
}

export function Figure({ moment, unit, rate, past }: Props) {
  const { smoothC, climbCPerH } = moment.firing.kiln;
  const old = moment.fresh.stale || moment.fresh.quietForMs !== null;
  const way = climbCPerH === null ? null : wayOf(climbCPerH, moment.firing.stage);
  return (
    <section class={`figure ${old ? 'is-old' : ''}`} aria-labelledby="figure-title" data-testid="figure">
      <h2 id="figure-title" class="unseen">
        {SAY.kiln}
      </h2>
      <p class="figure-temp">
        <span class="figure-number" data-testid="kiln-temp">
          {smoothC === null ? '–' : tempFigure(smoothC, unit)}
        </span>
        <span class="figure-unit">{unitSign(unit)}</span>
      </p>
      {way === null || climbCPerH === null ? (
        <p class="figure-climb is-unknown">{smoothC === null ? '' : SAY.noClimbYet}</p>
      ) : (
        <p class="figure-climb" data-testid="climb">
          <WayArrow way={way} />
          <span class="unseen">{WAY_WORDS[way]} </span>
          <strong>{sayClimb(climbCPerH, unit)}</strong>
        </p>
      )}
      {!past && (
        <p class={`figure-age ${old ? 'age-old' : ''}`} data-testid="age">
          {ageWords(moment, old, rate)}
        </p>
      )}
      {!old && <Beside moment={moment} unit={unit} />}
    </section>
  );
}

/** How sure the climb is, and what the spyhole should show: only of a reading that is not old. */
function Beside({ moment, unit }: { moment: Moment; unit: TemperatureUnit }) {
  const { smoothC, climbCPerH, climbSdCPerH } = moment.firing.kiln;
  const colour = smoothC === null ? null : glowAt(smoothC);
  const sure = climbCPerH !== null && climbSdCPerH !== null && moment.firing.stage !== 'before';
  return (
    <>
      {sure && <p class="figure-doubt">{SAY.giveOrTake(sayDifference(climbSdCPerH, unit))}</p>}
      {smoothC !== null && (
        <p class="figure-glow">
          <Spyhole glow={colour?.step ?? 0} />
          <span>{colour ? SAY.glow(colour.words) : SAY.noGlow}</span>
        </p>
      )}
    </>
  );
}
