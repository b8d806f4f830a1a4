/** The kiln's temperature, to be read from three steps away, with its climb, its age and its colour. */
import type { TemperatureUnit } from '../../protocol/units.ts';
import { glowAt } from '../heat-colour.ts';
import { sayClimb, sayDifference, saySpan, tempFigure, unitSign, wayOf } from '../say.ts';
import type { Moment } from '../sentence.ts';
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

function ageWords({ fresh }: Moment, rate: number): string {
  if (fresh.ageMs === null) return SAY.noReading;
  if (fresh.stale) return SAY.oldReading(saySpan(fresh.ageMs));
  return rate > 4 || fresh.ageMs < 1000 ? SAY.readJustNow : SAY.readAgo(saySpan(fresh.ageMs));
}

export function Figure({ moment, unit, rate, past }: Props) {
  const { smoothC, climbCPerH, climbSdCPerH } = moment.firing.kiln;
  const old = moment.fresh.stale || moment.fresh.quietForMs !== null;
  const colour = smoothC === null ? null : glowAt(smoothC);
  const way = climbCPerH === null ? null : wayOf(climbCPerH);
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
      {way && climbCPerH !== null && (
        <p class="figure-climb">
          <WayArrow way={way} />
          <span class="nowrap">{WAY_WORDS[way]}</span>{' '}
          <strong class="nowrap">{sayClimb(climbCPerH, unit)}</strong>
        </p>
      )}
      {!past && (
        <p class={`figure-age ${moment.fresh.stale ? 'age-old' : ''}`} data-testid="age">
          {ageWords(moment, rate)}
        </p>
      )}
      {climbSdCPerH !== null && way && (
        <p class="figure-doubt">{SAY.giveOrTake(sayDifference(climbSdCPerH, unit))}</p>
      )}
      {smoothC !== null && (
        <p class="figure-glow">
          <Spyhole glow={colour?.step ?? 0} />
          <span>{colour ? SAY.glow(colour.words) : SAY.noGlow}</span>
        </p>
      )}
    </section>
  );
}
