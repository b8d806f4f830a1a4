/** Compiles the board sketch with avr-gcc, as protocol/board-sketch/README.md says, and reads what came of it. */
import { execFileSync, spawnSync } from 'node:child_process';
import { createHash, randomUUID } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { ROOT } from '../support/collector.ts';
import { readHex } from './emulator/hex.ts';

export const SKETCH = join(ROOT, 'protocol', 'board-sketch');
const BUILDS = join(ROOT, 'node_modules', '.spyhole', 'board-sketch');

/** Of an ATmega328P. */
export const FLASH_BYTES = 32_768;
export const RAM_BYTES = 2_048;
export const RAM_START = 0x100;

export const FLAGS = [
  '-Os',
  '-mmcu=atmega328p',
  '-DF_CPU=16000000UL',
  '-std=gnu++11',
  '-Wall',
  '-Wextra',
  '-Werror',
  '-ffunction-sections',
  '-fdata-sections',
  '-Wl,--gc-sections',
];

export interface Firmware {
  /** Words of program memory. */
  readonly program: Uint16Array;
  /** Address of a symbol, in bytes: of program memory for code, of data memory for a variable. Throws if there is none. */
  address(symbol: string): number;
  readonly flashBytes: number;
  /** Variables; what is left of RAM is the stack's. */
  readonly ramBytes: number;
}

/** The compiler and its library are there. */
export function hasAvrGcc(): boolean {
  const args = ['-mmcu=atmega328p', '-E', '-x', 'c++', '-include', 'avr/io.h', '/dev/null'];
  return spawnSync('avr-g++', args, { stdio: 'ignore' }).status === 0;
}

function digestOf(files: readonly string[], flags: readonly string[]): string {
  const hash = createHash('sha256').update(flags.join(' '));
  for (const file of files) hash.update(readFileSync(file));
  return hash.digest('hex').slice(0, 16);
}

/**
 * The sketch, compiled and linked: with `config` (a path) in the place of board-config.h, and with `sources` (paths) in
 * the place of all of its own. A warning is an error, and throws.
 */
export function compileBoard(how: { config?: string; sources?: readonly string[] } = {}): Firmware {
  const own = readdirSync(SKETCH).filter((name) => /\.(cpp|h)$/.test(name));
  const sources =
    how.sources ?? own.filter((name) => name.endsWith('.cpp')).map((name) => join(SKETCH, name));
  const flags = [
    ...FLAGS,
    `-I${SKETCH}`,
    ...(how.config === undefined ? [] : [`-DSPYHOLE_CONFIG="${how.config}"`]),
  ];
  const inputs = [...own.map((name) => join(SKETCH, name)), ...sources, ...(how.config ? [how.config] : [])];
  const folder = join(BUILDS, digestOf(inputs, flags));
  if (!existsSync(folder)) {
    const making = `${folder}.${randomUUID()}`;
    mkdirSync(making, { recursive: true });
    const elf = join(making, 'board.elf');
    try {
      execFileSync('avr-g++', [...flags, ...sources, '-o', elf], { stdio: 'pipe' });
      execFileSync('avr-objcopy', ['-O', 'ihex', '-R', '.eeprom', elf, join(making, 'board.hex')]);
      renameSync(making, folder);
    } catch (error) {
      rmSync(making, { recursive: true });
      // Another test may have made the same meanwhile.
      if (!existsSync(folder)) throw error;
    }
  }
  const elf = join(folder, 'board.elf');
  const symbols = readSymbols(execFileSync('avr-nm', ['-C', elf], { encoding: 'utf8' }));
  const address = (symbol: string) => {
    const found = symbols.get(symbol);
    if (found === undefined) throw new Error(`the sketch has no ${symbol}`);
    return found;
  };
  return {
    program: readHex(readFileSync(join(folder, 'board.hex'), 'latin1'), FLASH_BYTES),
    address,
    flashBytes: address('__data_load_end'),
    ramBytes: address('_end') - RAM_START,
  };
}

/** avr-nm gives data memory from 800000 on. */
function readSymbols(listing: string): Map<string, number> {
  const symbols = new Map<string, number>();
  for (const line of listing.split('\n')) {
    const [, address, name] = /^([0-9a-f]{8}) \S (.*)$/.exec(line) ?? [];
    if (address !== undefined && name !== undefined)
      symbols.set(name, Number.parseInt(address, 16) & 0x7f_ffff);
  }
  return symbols;
}
