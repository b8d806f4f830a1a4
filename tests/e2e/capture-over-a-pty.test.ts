import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { describe, expect, it } from 'vitest';
import { readCapture } from '../../collector/links/capture-reader.ts';
import { parseBoardLine } from '../../protocol/board-lines.ts';
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

/** The part of the sample from well before its last stall to a little after salting heat. */
async function middlePart(home: string): Promise<CaptureLine[]> {
  const sample = join('sample-captures', SAMPLE);
  const raised = (await rerun(sample, home)).filter(({ state }) => state === 'raised');
  const salting = Date.parse(raised.find(({ name }) => name === 'salting-window')?.at ?? '');
  const stalls = raised.filter(({ name, at }) => name === 'stall' && Date.parse(at) < salting);
  const from = Date.parse(stalls.at(-1)?.at ?? '') - 3 * HOUR_MS;
  const lines: CaptureLine[] = [];
  for await (const batch of readCapture(sample)) lines.push(...batch.lines);
  const hello = lines.find(({ text }) => text.startsWith('$B'));
  const part = lines.filter(({ at }) => at >= from && at <= salting + HOUR_MS / 4);
  if (!hello || part.length < 100) throw new Error('the sample has no stall before its salting heat');
  return [{ ...hello, at: part[0]?.at ?? hello.at }, ...part];
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
        // What the page has ever said of each probe and in its alerts, written down as it changes.
        await page.evaluate(() => {
          const seen = { temps: {} as Record<string, string>, alerts: '' };
          Object.assign(window, { seen });
          const look = () => {
            for (const temp of document.querySelectorAll('[data-testid^="probe-"] data[value]')) {
              const probe = temp.closest('[data-testid^="probe-"]')?.getAttribute('data-testid') ?? '';
              seen.temps[probe] = temp.getAttribute('value') ?? '';
            }
            seen.alerts += `\n${document.querySelector('main')?.textContent ?? ''}`.slice(0, 2000);
            seen.alerts = seen.alerts.slice(-4_000_000);
          };
          new MutationObserver(look).observe(document.body, {
            subtree: true,
            childList: true,
            characterData: true,
            attributes: true,
          });
        });
        await expect.poll(() => collector.said(), { timeout: 20_000 }).toMatch(/is open/);
        await playOverPty(cable.boardEnd, lines, SPEED);
        await sleep(1000);
        const seen = await page.evaluate(
          () => (window as unknown as { seen: { temps: Record<string, string>; alerts: string } }).seen,
        );

        const printed = await rerun(cut, home.path);
        const last = printed.findLast(({ kind }) => kind === 'reading');
        const expected = Object.entries(last?.probes ?? {});
        expect(expected.length).toBeGreaterThan(1);
        for (const [probe, { temp_c }] of expected) {
          expect(Math.abs(Number(seen.temps[`probe-${probe}`]) - Number(temp_c))).toBeLessThanOrEqual(0.05);
        }
        expect(seen.alerts).toMatch(/stands still/);
        expect(seen.alerts).toMatch(/Hot enough for salt/);

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
