/** A firing from elsewhere: choose a file, see what its columns are and what comes of it, and take it over. */
import { useEffect, useState } from 'preact/hooks';
import {
  type Looked,
  type Mapping,
  MOST_CSV_BYTES,
  MOST_ZIP_BYTES,
  type Tried,
} from '../../protocol/imports.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { type Answer, lookAtFile, takeFile, takeZip, tryFile } from '../import/send.ts';
import { fetchRoomWords, IMPORT, SAY, said } from '../words.ts';
import { ImportColumns } from './ImportColumns.tsx';
import { ImportLook } from './ImportLook.tsx';

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
  useEffect(() => void fetchRoomWords('import'), []);

  /** Asks the collector; what it does not take is said. */
  async function ask<What>(doing: string, asking: Promise<Answer<What>>): Promise<What | null> {
    setBusy(true);
    setWords(doing);
    const answer = await asking;
    setBusy(false);
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
    const bare = { file, looked: null, mapping: null, tried: null };
    if (isZip(file)) return setChosen(bare);
    const looked = await ask(IMPORT.looking, lookAtFile(file));
    if (looked === null) return;
    if (looked.mapping === null) return setWords(IMPORT.nothingFound);
    setChosen({ ...bare, looked, mapping: looked.mapping });
  }

  async function see({ file, looked, mapping }: Chosen) {
    if (mapping === null) return;
    const tried = await ask(IMPORT.working, tryFile(file, mapping));
    setChosen({ file, looked, mapping, tried });
  }

  async function take({ file, mapping }: Chosen) {
    const taken = await ask(IMPORT.taking, mapping === null ? takeZip(file) : takeFile(file, mapping));
    if (taken === null) return;
    setTakenId(taken.id);
    setWords(IMPORT.taken);
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
      {chosen?.tried && <ImportLook tried={chosen.tried} unit={unit} />}
      {chosen && takenId === null && (chosen.tried !== null || isZip(chosen.file)) && (
        <p>
          <button type="button" class="press plain" disabled={busy} onClick={() => void take(chosen)}>
            {IMPORT.take}
          </button>{' '}
          <span class="quiet">{IMPORT.takingHelp}</span>
        </p>
      )}
      <p role="status">{words}</p>
      {takenId !== null && (
        <a class="press plain" href={`#/past/${encodeURIComponent(takenId)}`}>
          {IMPORT.toIt}
        </a>
      )}
    </section>
  );
}
