/** A firing from elsewhere: choose a file, see what its columns are and what comes of it, and take it over. */
import { useEffect, useState } from 'preact/hooks';
import {
  type Delimiter,
  type Looked,
  type Mapping,
  MOST_CSV_BYTES,
  MOST_ZIP_BYTES,
  type Tried,
} from '../../protocol/imports.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { type Answer, lookAtFile, type Progress, takeFile, takeZip, tryFile } from '../import/send.ts';
import { fetchRoomWords, IMPORT, SAY, said } from '../words.ts';
import { DelimiterChoice, ImportColumns } from './ImportColumns.tsx';
import { ImportLook } from './ImportLook.tsx';
import { ImportProgress } from './ImportProgress.tsx';

const MB = 1024 * 1024;
const isZip = (file: File) => /\.zip$/i.test(file.name);

interface Chosen {
  file: File;
  /** Null for a zip, and while it is looked at. */
  looked: Looked | null;
  mapping: Mapping | null;
  tried: Tried | null;
}

export function ImportPage({ unit }: { unit: TemperatureUnit }) {
  const [chosen, setChosen] = useState<Chosen | null>(null);
  const [words, setWords] = useState('');
  const [takenId, setTakenId] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const [progress, setProgress] = useState<Progress | null>(null);
  useEffect(() => void fetchRoomWords('import'), []);

  /** Asks the collector; what it does not take is said. */
  async function ask<What>(doing: string, asking: Promise<Answer<What>>): Promise<What | null> {
    setBusy(true);
    setWords(doing);
    const answer = await asking;
    setBusy(false);
    setProgress(null);
    setWords(answer === null ? IMPORT.notHeard : answer.kind === 'no' ? said(answer.text) : '');
    return answer?.kind === 'here' ? answer.what : null;
  }

  async function choose(file: File | undefined) {
    setTakenId(null);
    setChosen(null);
    setWords('');
    if (file === undefined) return;
    const mostBytes = isZip(file) ? MOST_ZIP_BYTES : MOST_CSV_BYTES;
    if (file.size > mostBytes) return setWords(IMPORT.tooLarge(mostBytes / MB));
    if (isZip(file)) return setChosen({ file, looked: null, mapping: null, tried: null });
    await look(file);
  }

  /** Where somebody says what parts the columns, the rest is guessed anew; the name that was given stays. */
  async function look(file: File, delimiter?: Delimiter, name?: string) {
    const looked = await ask(IMPORT.looking, lookAtFile(file, delimiter));
    if (looked === null) return;
    const { mapping } = looked;
    if (mapping === null) setWords(IMPORT.nothingFound);
    setChosen({ file, looked, mapping: mapping && { ...mapping, name: name ?? mapping.name }, tried: null });
  }

  async function see({ file, looked, mapping }: Chosen) {
    if (mapping === null) return;
    const tried = await ask(IMPORT.working, tryFile(file, mapping, setProgress));
    setChosen({ file, looked, mapping, tried });
  }

  async function take({ file, mapping }: Chosen) {
    const taken = await ask(
      IMPORT.taking,
      mapping === null ? takeZip(file, setProgress) : takeFile(file, mapping, setProgress),
    );
    if (taken === null) return;
    setTakenId(taken.id);
    setWords(`${IMPORT.taken} ${taken.say === null ? '' : said(taken.say)}`.trim());
  }

  return (
    <section class="import plan" aria-labelledby="import-title">
      <div class="way-back">
        <a class="press" href="#/past">
          {SAY.backToList}
        </a>
      </div>
      <h2 id="import-title">{IMPORT.title}</h2>
      <p>{IMPORT.help}</p>
      <label class="field wide">
        <span>{IMPORT.file}</span>
        <input
          type="file"
          accept=".csv,.txt,.tsv,.zip,text/csv"
          onChange={(event) => void choose(event.currentTarget.files?.[0])}
        />
      </label>
      {chosen?.looked && (
        <DelimiterChoice
          delimiter={chosen.looked.delimiter}
          onChange={(delimiter) => void look(chosen.file, delimiter, chosen.mapping?.name)}
        />
      )}
      {chosen?.looked && chosen.mapping && (
        <>
          <ImportColumns
            looked={chosen.looked}
            mapping={chosen.mapping}
            onChange={(mapping) => setChosen({ ...chosen, mapping, tried: null })}
          />
          <button type="button" class="press plain" disabled={busy} onClick={() => void see(chosen)}>
            {IMPORT.see}
          </button>
        </>
      )}
      {chosen?.tried && chosen.mapping && (
        <ImportLook tried={chosen.tried} time={chosen.mapping.time} unit={unit} />
      )}
      {chosen && takenId === null && (chosen.tried !== null || isZip(chosen.file)) && (
        <>
          <button type="button" class="press plain" disabled={busy} onClick={() => void take(chosen)}>
            {IMPORT.take}
          </button>
          <p class="quiet">{IMPORT.takingHelp}</p>
        </>
      )}
      <p role="status">{words}</p>
      {progress && <ImportProgress progress={progress} />}
      {takenId !== null && (
        <a class="press plain" href={`#/past/${encodeURIComponent(takenId)}`}>
          {IMPORT.toIt}
        </a>
      )}
    </section>
  );
}
