/** Writes the sample captures. The same code gives the same bytes, so that the files can be checked against it. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { CAPTURE_HEADER, type CaptureLine, formatCaptureLine } from '../../protocol/capture.ts';
import { HOUR_MS } from '../../protocol/units.ts';
import { type DemoBoard, openDemoBoard } from './demo-board.ts';
import { kilnMeanC } from './kiln.ts';
import { SAMPLE_FIRINGS, type SampleFiring } from './sample-firings.ts';
import { beginScripted, schedule } from './troubles.ts';
import { openWire, runWire, writeEntry } from './wire.ts';

/** A firing that has not been closed by then is not going to be. */
const LONGEST_MS = 48 * HOUR_MS;

/** When the capture ends, epoch ms: so long after the kiln was closed. */
function endsAt({ kiln }: DemoBoard, coolingHours: number): number {
  const { stage, sinceS } = kiln.potter;
  if (stage !== 'cooling') return kiln.startMs + LONGEST_MS;
  return kiln.startMs + sinceS * 1000 + coolingHours * HOUR_MS;
}

/** The text of one sample capture. */
export function sampleCapture(firing: SampleFiring): string {
  const board = openDemoBoard(firing.board);
  const { kiln } = board;
  const wire = openWire(board, firing.wire);
  if (firing.plan) writeEntry(wire, kiln.startMs, { log: 'plan', ...firing.plan });
  const notes = schedule(firing.notes.map((note) => ({ ...note, minutes: 0 })));
  for (let at = kiln.startMs; at < endsAt(board, firing.coolingHours); at += 1000) {
    runWire(wire, at + 1000);
    for (const note of notes.filter(({ sinceS }) => sinceS === null)) {
      beginScripted([note], kiln.nowS, kiln.litS, kilnMeanC(kiln));
      if (note.sinceS !== null) writeEntry(wire, at + 1000, note.script.entry);
    }
  }
  const about = firing.about.map(
    (text): CaptureLine => ({ at: kiln.startMs, direction: '#', link: '', text }),
  );
  const lines = [...about, ...wire.lines].map(formatCaptureLine);
  return `${[CAPTURE_HEADER, ...lines].join('\n')}\n`;
}

/** Writes all of them into `folder`, which is there already; they are replaced. */
export function writeSampleCaptures(folder: string): void {
  for (const firing of SAMPLE_FIRINGS) writeFileSync(join(folder, firing.file), sampleCapture(firing));
}
