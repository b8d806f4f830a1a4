import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { ROOT, runSpyhole, tempFolder } from '../support/collector.ts';

const home = tempFolder();
afterAll(() => home.remove());

const GOOD = join(ROOT, 'sample-captures', 'good-firing.capture');

describe('the command line', () => {
  it('reruns a capture: stdout is JSON a line and nothing else, the counts go to stderr, the status is 0', async () => {
    const { status, stdout, stderr } = await runSpyhole(
      ['rerun', GOOD, '--json', '--every', '600'],
      home.path,
    );
    expect(status).toBe(0);
    const lines = stdout
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as { kind: string; at: string; name?: string });
    expect(new Set(lines.map(({ kind }) => kind))).toEqual(new Set(['reading', 'alert']));
    const times = lines.map(({ at }) => at);
    expect(times).toEqual([...times].sort());
    expect(lines.some(({ name }) => name === 'salting-window')).toBe(true);
    expect(stderr).toMatch(/\d+ lines, \d+ readings late/);
  });

  it('says in one line that a file is no capture, with status 2', async () => {
    const path = join(home.path, 'letter.txt');
    writeFileSync(path, 'Dear potter,\n');
    for (const file of [path, join(home.path, 'nowhere.capture'), home.path]) {
      const { status, stdout, stderr } = await runSpyhole(['rerun', file], home.path);
      expect(status).toBe(2);
      expect(stdout).toBe('');
      expect(stderr.trimEnd().split('\n')).toHaveLength(1);
    }
  });

  it.each([
    [['watch'], /--port/],
    [['watch', '--port', '/dev/ttyUSB0', '--capture', 'x'], /--capture/],
    [['watch', '--capture', '/nowhere.capture'], /There is no file/],
    [['demo', '--speed', 'fast'], /a number from 0.01 to 100000/],
    [['rerun', GOOD, '--plan', '/nowhere.json'], /plan .* cannot be read/],
    [['fly'], /--help/],
  ])('%j says in a sentence what is wrong', async (args, words) => {
    const { status, stderr } = await runSpyhole(args, home.path);
    expect(status).not.toBe(0);
    expect(stderr).toMatch(words);
    expect(stderr).not.toMatch(/^\s+at .*\.m?[jt]s/m);
  });

  it('lists the ports, and every command with its options in --help', async () => {
    const ports = await runSpyhole(['ports'], home.path);
    expect(ports.status).toBe(0);
    expect(ports.stdout.length).toBeGreaterThan(10);
    const help = await runSpyhole(['--help'], home.path);
    for (const word of ['start', 'watch', 'demo', 'ports', 'rerun', 'cones'])
      expect(help.stdout).toContain(word);
    const watch = await runSpyhole(['watch', '--help'], home.path);
    const options = [
      '--port',
      '--capture',
      '--speed',
      '--clock-rate',
      '--plain',
      '--unit',
      '--baud',
      '--lan',
      '--http-port',
      '--data',
      '--name',
      '--plan',
      '--new',
    ];
    for (const option of options) expect(watch.stdout).toContain(option);
  });

  it('prints the cone table and holds the chart', async () => {
    const { status, stdout } = await runSpyhole(['cones'], home.path);
    expect(status).toBe(0);
    expect(stdout.split('\n').length).toBeGreaterThan(38);
  });
});
