/** A capture of a day at one reading a second with four probes, in the form that costs most: EMF, with a ripple. */

import { once } from 'node:events';
import { createWriteStream } from 'node:fs';
import { emfMv } from '../../collector/core/couple/reference-function.ts';
import { formatBoardLine } from '../../protocol/board-lines.ts';
import { CAPTURE_HEADER, formatCaptureLine } from '../../protocol/capture.ts';
import type { ProbeSpec } from '../../protocol/probes.ts';

const START = Date.UTC(2031, 2, 8, 5);
const COLD_C = 18.5;
const uv = { kind: 'uv' } as const;
const PROBES: ProbeSpec[] = [
  { name: 'front-low', couple: 'K', form: uv },
  { name: 'front-high', couple: 'K', form: uv },
  { name: 'back-low', couple: 'N', form: uv },
  { name: 'back-high', couple: 'S', form: uv },
];

/** Writes it to `path`. */
export async function writeLongCapture(path: string, hours: number): Promise<void> {
  const out = createWriteStream(path);
  const seconds = hours * 3600;
  let lot = `${CAPTURE_HEADER}\n`;
  const put = (atMs: number, text: string) => {
    lot += `${formatCaptureLine({ at: START + atMs, direction: '<', link: '', text })}\n`;
  };
  put(
    0,
    formatBoardLine({
      kind: 'hello',
      hello: { board: 'shed-1', boot: '9F00C2A1', periodMs: 1000, keeps: 3600, probes: PROBES },
    }),
  );
  for (let second = 0; second < seconds; second += 1) {
    const meanC = Math.min(20 + (60 * second) / 3600, 1230);
    const values = PROBES.map(({ couple }, place) => {
      const tempC = meanC + 12 * Math.sin(second / 70 + place) + place * 3;
      return Math.round(1000 * (emfMv(couple, tempC) - emfMv(couple, COLD_C)));
    });
    put(
      (second + 1) * 1000,
      formatBoardLine({
        kind: 'reading',
        seq: second,
        uptimeMs: (second + 1) * 1000,
        coldJunctionC: COLD_C,
        values,
      }),
    );
    if (lot.length > 1 << 18) {
      if (!out.write(lot)) await once(out, 'drain');
      lot = '';
    }
  }
  out.end(lot);
  await once(out, 'finish');
}
