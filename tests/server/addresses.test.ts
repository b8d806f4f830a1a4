import type { NetworkInterfaceInfo } from 'node:os';
import { describe, expect, it } from 'vitest';
import { lanAddresses, ownHostNames, qrText } from '../../collector/server/addresses.ts';

function address(text: string, internal = false): NetworkInterfaceInfo {
  return text.includes(':')
    ? { address: text, family: 'IPv6', internal, netmask: '', mac: '', cidr: null, scopeid: 0 }
    : { address: text, family: 'IPv4', internal, netmask: '', mac: '', cidr: null };
}

describe('the addresses of this machine', () => {
  it('are those that a phone can reach, the real network first', () => {
    expect(
      lanAddresses({
        lo: [address('127.0.0.1', true), address('::1', true)],
        docker0: [address('172.17.0.1')],
        wlan0: [address('fe80::1'), address('192.168.7.20')],
        eth0: [address('169.254.3.4'), address('10.0.0.5')],
        down: undefined,
      }),
    ).toEqual(['192.168.7.20', '10.0.0.5', '172.17.0.1']);
  });

  it('and its names always hold the loop-back', () => {
    const names = ownHostNames();
    for (const name of ['localhost', '127.0.0.1', '[::1]']) expect(names).toContain(name);
    for (const name of names) expect(name).toBe(name.toLowerCase());
  });
});

/** Half blocks back to rows of modules: true where ink is. */
function modulesOf(text: string): boolean[][] {
  return text.split('\n').flatMap((line) => {
    const cells = [...line];
    return [cells.map((cell) => '█▀'.includes(cell)), cells.map((cell) => '█▄'.includes(cell))];
  });
}

describe('the code to scan', () => {
  const url = 'http://192.168.7.20:8321/?key=draw-ring-key-0001';
  /** Finder pattern, ISO/IEC 18004, 6.3.3: dark 3 × 3 in a light ring in a dark ring of 7 × 7 (from memory). */
  const finder = ['#######', '#.....#', '#.###.#', '#.###.#', '#.###.#', '#.....#', '#######'];
  const MARGIN = 2;

  function corner(modules: boolean[][], dark: boolean): string[] {
    return finder.map((_, row) =>
      finder.map((_cell, column) => (modules[MARGIN + row]?.[MARGIN + column] === dark ? '#' : '.')).join(''),
    );
  }

  it('is dark on light in a terminal of any colour', async () => {
    const text = await qrText(url, true);
    const lines = text.split('\n');
    for (const line of lines) {
      // ECMA-48: foreground black, background bright white, and back to normal.
      expect(line.startsWith('\u001b[30;107m')).toBe(true);
      expect(line.endsWith('\u001b[0m')).toBe(true);
    }
    const ink = modulesOf(lines.map((line) => line.slice(9, -4)).join('\n'));
    expect(corner(ink, true)).toEqual(finder);
  });

  it('is drawn in light where there are no colours, for a dark terminal', async () => {
    const text = await qrText(url);
    expect(text).not.toContain('\u001b');
    expect(corner(modulesOf(text), false)).toEqual(finder);
  });

  it('fits in 80 columns and 24 lines', async () => {
    const lines = (await qrText(url)).split('\n');
    expect(lines.length).toBeLessThanOrEqual(24);
    for (const line of lines) expect([...line].length).toBeLessThanOrEqual(80);
  });
});
