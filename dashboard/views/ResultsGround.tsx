/** The kiln from above, with what came out at each place. */
import { type ResultRow, yieldOf } from '../../protocol/results.ts';
import { placesOnGround } from '../results/table.ts';
import { sayPlace } from '../say.ts';
import { RESULTS } from '../words.ts';

interface Props {
  places: readonly string[];
  rows: readonly ResultRow[];
  chosen: string | null;
  onChoose(place: string): void;
}

/** A bar in three parts, each with a pattern of its own: the figures beside it say the same. */
function Bar({ good, seconds, lost }: { good: number; seconds: number; lost: number }) {
  const all = Math.max(1, good + seconds + lost);
  const [first, second] = [(100 * good) / all, (100 * seconds) / all];
  return (
    <svg class="yield-bar" viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true">
      <rect class="yield-good" x={0} y={0} width={first} height={8} />
      <rect class="yield-seconds" x={first} y={2} width={second} height={6} />
      <rect class="yield-lost" x={first + second} y={6} width={(100 * lost) / all} height={2} />
    </svg>
  );
}

function PlaceYield({ place, rows, chosen, onChoose }: Omit<Props, 'places'> & { place: string }) {
  const sum = yieldOf(rows.filter((row) => row.place === place));
  return (
    <li>
      <button
        type="button"
        class="press choice yield-place"
        aria-pressed={place === chosen}
        onClick={() => onChoose(place)}
      >
        <span>{sayPlace(place)}</span>
        {sum.share === null ? (
          <span class="press-small">{RESULTS.notCounted}</span>
        ) : (
          <>
            <span class="press-word">{RESULTS.share(Math.round(100 * sum.share))}</span>
            <Bar {...sum} />
            <span class="press-small">{RESULTS.counts(sum.good, sum.seconds, sum.lost)}</span>
          </>
        )}
      </button>
    </li>
  );
}

export function ResultsGround({ places, ...rest }: Props) {
  const { grid, elsewhere } = placesOnGround(places);
  const rows = [0, 1, 2].map((row) => [0, 1, 2].flatMap((column) => grid[3 * row + column] ?? []));
  const list = (names: readonly string[]) => (
    <ul class="yield-row">
      {names.map((place) => (
        <PlaceYield key={place} place={place} {...rest} />
      ))}
    </ul>
  );
  return (
    <section aria-labelledby="yield-title">
      <h3 id="yield-title">{RESULTS.yields}</h3>
      {rows.some((names) => names.length > 0) && (
        <div class="kiln-floor">
          <p class="kiln-wall">{RESULTS.back}</p>
          {rows.filter((names) => names.length > 0).map(list)}
          <p class="kiln-wall">{RESULTS.front}</p>
        </div>
      )}
      {elsewhere.length > 0 && (
        <>
          <p class="quiet">{RESULTS.elsewhere}</p>
          {list(elsewhere)}
        </>
      )}
    </section>
  );
}
