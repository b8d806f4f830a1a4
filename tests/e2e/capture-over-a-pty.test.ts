import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readCapture } from '../../collector/links/capture-reader.ts';
import { formatBoardLine, parseBoardLine } from '../../protocol/board-lines.ts';
import { CAPTURE_HEADER, type CaptureLine, formatCaptureLine } from '../../protocol/capture.ts';
import { onlyFiring, readCsv } from '../support/archive-file.ts';
import { hasChromium, openBrowser } from '../support/browser.ts';
import { playOverPty } from '../support/capture-board.ts';
import { runSpyhole, startCollector, tempFolder } from '../support/collector.ts';
import { hasSocat, openPty } from '../support/pty.ts';

/** A stall, and later salting heat: the hours between them are played this many times as fast as they were. */
const SPEED = 600;
const SAMPLE = 'wet-wood-two-stalls.capture';
const HOUR_MS = 3_600_000;
/** So long the last temperatures are said again at the end: a few periods of the clock are over before a browser has drawn once. */
const HELD_MS = HOUR_MS / 3;
const PATIENCE = { timeout: 20_000 };

interface Printed {
  kind: string;
  at: string;
  name: string;
  state: string;
  probes: Record<string, { temp_c: number | null }>;
}

async function rerun(path: string, home: string): Promise<Printed[]> {
  const { stdout } = await runSpyhole(['rerun', path, '--json', '--every', '1'], home);
  return stdout
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as Printed);
}

/** What the page says of a stall, and of salting heat. */
const WORDS = ['stands still', 'Hot enough for salt'];

/** The last reading again and again, each period of the board, under the numbers that follow. */
function held(lines: readonly CaptureLine[]): CaptureLine[] {
  const readings = lines.flatMap((said) => {
    const parsed = parseBoardLine(said.text);
    return parsed.ok && parsed.line.kind === 'reading' ? [{ said, line: parsed.line }] : [];
  });
  const [before, last] = readings.slice(-2);
  if (!before || !last) throw new Error('no two readings to tell the period by');
  const periodMs = last.line.uptimeMs - before.line.uptimeMs;
  return Array.from({ length: Math.floor(HELD_MS / periodMs) }, (_, i) => ({
    ...last.said,
    at: last.said.at + (i + 1) * periodMs,
    text: formatBoardLine({
      ...last.line,
      seq: last.line.seq + i + 1,
      uptimeMs: last.line.uptimeMs + (i + 1) * periodMs,
    }),
  }));
}

/** The part of the sample from well before its last stall to a little after salting heat, and its end held. */
async function middlePart(home: string): Promise<CaptureLine[]> {
  const sample = join('sample-captures', SAMPLE);
  const raised = (await rerun(sample, home)).filter(({ state }) => state === 'raised');
  const salting = Date.parse(raised.find(({ name }) => name === 'salting-window')?.at ?? '');
  const stalls = raised.filter(({ name, at }) => name === 'stall' && Date.parse(at) < salting);
  const from = Date.parse(stalls.at(-1)?.at ?? '') - 2 * HOUR_MS;
  const lines: CaptureLine[] = [];
  for await (const batch of readCapture(sample)) lines.push(...batch.lines);
  const hello = lines.find(({ text }) => text.startsWith('$B'));
  const part = lines.filter(({ at }) => at >= from && at <= salting + HOUR_MS / 4);
  if (!hello || part.length < 100) throw new Error('the sample has no stall before its salting heat');
  return [{ ...hello, at: part[0]?.at ?? hello.at }, ...part, ...held(part)];
}

describe.skipIf(!hasSocat() || !hasChromium())(
  'a capture through a real serial port to the page (needs socat and Chromium)',
  () => {
    it('shows the last temperature that rerun prints, archives every reading, and tells of the stall and of salting heat', async () => {
      const home = tempFolder();
      const data = join(home.path, 'firings');
      const cable = await openPty();
      const lines = await middlePart(home.path);
      const cut = join(home.path, 'cut.capture');
      writeFileSync(
        cut,
        `${CAPTURE_HEADER}\n${lines.map((line) => `${formatCaptureLine(line)}\n`).join('')}`,
      );
      const collector = await startCollector(
        ['watch', '--port', cable.collectorEnd, '--clock-rate', String(SPEED), '--data', data],
        home.path,
      );
      const browser = await openBrowser();
      try {
        const page = await browser.newPage();
        await page.goto(collector.url);
        await page.getByTestId('kiln-temp').waitFor();
        // What the page said last of each probe while it was fresh, and which words it ever said, written down as it changes.
        await page.evaluate((words) => {
          const seen = { temps: {} as Record<string, string>, words: [] as string[] };
          Object.assign(window, { seen });
          const look = () => {
            for (const temp of document.querySelectorAll('[data-testid^="probe-"] data[value]')) {
              const probe = temp.closest('[data-testid^="probe-"]')?.getAttribute('data-testid') ?? '';
              seen.temps[probe] = temp.getAttribute('value') ?? '';
            }
            const text = (document.querySelector('main')?.textContent ?? '').slice(0, 2000);
            seen.words = words.filter((each) => seen.words.includes(each) || text.includes(each));
          };
          new MutationObserver(look).observe(document.body, {
            subtree: true,
            childList: true,
            characterData: true,
            attributes: true,
          });
        }, WORDS);
        await expect.poll(() => collector.said(), PATIENCE).toContain(`${cable.collectorEnd} is open`);
        await playOverPty(cable.boardEnd, lines, SPEED);

        const printed = await rerun(cut, home.path);
        const reading = printed.findLast(({ kind }) => kind === 'reading');
        const expected = Object.entries(reading?.probes ?? {});
        expect(expected.length).toBeGreaterThan(1);
        const last = Object.fromEntries(
          expected.map(([probe, { temp_c }]) => [`probe-${probe}`, expect.closeTo(Number(temp_c), 1)]),
        );
        await expect
          .poll(async () => {
            const { temps, words } = await page.evaluate(
              () => (window as unknown as { seen: { temps: Record<string, string>; words: string[] } }).seen,
            );
            const said = Object.entries(temps).map(([probe, value]) => [probe, Number(value)]);
            return { temps: Object.fromEntries(said), words };
          }, PATIENCE)
          .toEqual({ temps: last, words: WORDS });

        expect(await collector.stop()).toBe(0);
        const sent = lines.flatMap(({ text }) => {
          const parsed = parseBoardLine(text);
          return parsed.ok && parsed.line.kind === 'reading' ? [parsed.line.seq] : [];
        });
        const rows = readCsv(join(onlyFiring(data), 'readings.csv'));
        const kept = [...new Set(rows.map((row) => Number(row.seq)))].sort((a, b) => a - b);
        expect(kept).toEqual([...new Set(sent)].sort((a, b) => a - b));
        const names = readCsv(join(onlyFiring(data), 'log.csv'))
          .filter((row) => row.log === 'alert')
          .map((row) => String(row.json));
        expect(names.some((json) => json.includes('"name":"stall"'))).toBe(true);
        expect(names.some((json) => json.includes('"name":"salting-window"'))).toBe(true);
      } finally {
        await browser.close();
        await collector.kill();
        await cable.close();
        home.remove();
      }
    }, 240_000);
  },
);
