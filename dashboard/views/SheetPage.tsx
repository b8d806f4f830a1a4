/** A firing on one or two pages of paper, to pin on the shed wall. */
import type { RecordedFiring } from '../../protocol/firing-record.ts';
import type { Results } from '../../protocol/results.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { fetchFiring } from '../fetch-past.ts';
import { fetchResults } from '../results/fetch-results.ts';
import type { Settings } from '../settings.ts';
import { type Paper, sheetAddress } from '../sheet/paper.ts';
import { SAY, SHEET } from '../words.ts';
import { Sheet } from './Sheet.tsx';
import { SheetFrame } from './SheetFrame.tsx';
import { useFetched } from './use-fetched.ts';

/** Rows enough for print: two a dot of a laser printer would show nothing more. */
const WIDTH = 1400;

async function fetchBoth(id: string): Promise<{ record: RecordedFiring; results: Results | null } | null> {
  const [record, answer] = await Promise.all([fetchFiring(id, WIDTH), fetchResults(id)]);
  if (record === null) return null;
  return { record, results: answer?.kind === 'results' ? answer.results : null };
}

interface Props {
  id: string;
  unit: TemperatureUnit;
  paper: Paper;
  change(part: Partial<Settings>): void;
}

export function SheetPage({ id, unit, paper, change }: Props) {
  const [fetched, again] = useFetched(() => fetchBoth(id), id);
  return (
    <section class="sheet-room" aria-labelledby="sheet-title">
      <div class="way-back no-print">
        <a class="press" href={`#/past/${encodeURIComponent(id)}`}>
          {SHEET.back}
        </a>
        <button type="button" class="press plain" onClick={() => window.print()}>
          {SHEET.printNow}
        </button>
        <div class="group-row">
          {(['a4', 'letter'] as const).map((one) => (
            <a
              key={one}
              class="press choice"
              aria-current={one === paper ? 'true' : undefined}
              href={sheetAddress(id, one, unit)}
            >
              {SHEET.papers[one]}
            </a>
          ))}
          {(['F', 'C'] as const).map((one) => (
            <a
              key={one}
              class="press choice"
              aria-current={one === unit ? 'true' : undefined}
              href={sheetAddress(id, paper, one)}
              onClick={() => change({ unit: one })}
            >
              °{one}
            </a>
          ))}
        </div>
      </div>
      {fetched.state === 'loading' && <p>{SHEET.loading}</p>}
      {fetched.state === 'failed' && (
        <p>
          {SHEET.failed}{' '}
          <button type="button" class="press plain" onClick={again}>
            {SAY.tryAgain}
          </button>
        </p>
      )}
      {fetched.state === 'here' && (
        <SheetFrame>
          <Sheet {...fetched.what} unit={unit} paper={paper} madeAt={Date.now()} />
        </SheetFrame>
      )}
    </section>
  );
}
