/** Load and results by place, as a table of the sheet. */
import type { Plan } from '../../protocol/plan.ts';
import type { ResultRow } from '../../protocol/results.ts';
import { sayPlace } from '../say.ts';
import { allPlaces, type PlaceFacts, placeFacts } from '../sheet/places.ts';
import { RESULTS, SHEET } from '../words.ts';

/** Beyond this a remark is told in the results. */
const MOST_LETTERS = 75;
/** More places than these are told in the results, so that the sheet stays two pages. */
const MOST_PLACES = 14;

export function SheetPlaces({ plan, rows }: { plan: Plan; rows: readonly ResultRow[] }) {
  const places = placeFacts(plan, rows);
  return (
    <section class="sheet-part sheet-places">
      <h3>{SHEET.results}</h3>
      {places.length === 0 ? (
        <p>{SHEET.noResults}</p>
      ) : (
        <table>
          <thead>
            <tr>
              <th>{SHEET.place}</th>
              {[SHEET.loaded, SHEET.good, SHEET.seconds, SHEET.lost].map((name) => (
                <th key={name} class="figure-cell">
                  {name}
                </th>
              ))}
              <th class="figure-cell">%</th>
              <th>{SHEET.remarks}</th>
            </tr>
          </thead>
          <tbody>
            {places.slice(0, MOST_PLACES).map(({ place, remarks, ...sums }) => (
              <Row key={place} name={sayPlace(place)} {...sums} remarks={cut(remarks.join('; '))} />
            ))}
            {places.length > MOST_PLACES && (
              <tr>
                <td colSpan={7}>{SHEET.morePlaces(places.length - MOST_PLACES)}</td>
              </tr>
            )}
            {places.length > 1 && <Row name={SHEET.all} {...allPlaces(places)} remarks="" />}
          </tbody>
        </table>
      )}
    </section>
  );
}

const cut = (text: string) => (text.length > MOST_LETTERS ? `${text.slice(0, MOST_LETTERS)}…` : text);

function Row({
  name,
  loaded,
  yields,
  remarks,
}: Omit<PlaceFacts, 'place' | 'remarks'> & { name: string; remarks: string }) {
  const { good, seconds, lost, counted, share } = yields;
  const figures = counted === 0 ? ['', '', '', ''] : [good, seconds, lost, Math.round(100 * (share ?? 0))];
  const [goodCell, secondsCell, lostCell, shareCell] = figures;
  return (
    <tr>
      <th scope="row">{name}</th>
      <td class="figure-cell">{loaded}</td>
      <td class="figure-cell">{goodCell}</td>
      <td class="figure-cell">{secondsCell}</td>
      <td class="figure-cell">{lostCell}</td>
      <td class="figure-cell">{shareCell}</td>
      <td>{counted === 0 ? RESULTS.notCounted : remarks}</td>
    </tr>
  );
}
