/** `spyhole setup-bluetooth`: fetches the library for Bluetooth low energy into a folder of its own. */
import { spawn } from 'node:child_process';
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { makeFolders } from '../archive/make-folders.ts';
import { startTrouble } from '../archive/trouble.ts';
import { BLUETOOTH_PACKAGES, loadGatt } from '../links/gatt-noble.ts';

const say = (text: string) => process.stderr.write(`${text}\n`);

/** Installs into `folder`; rejects with one sentence if that fails, or what was installed cannot be loaded. */
export async function setUpBluetooth(folder: string, run: typeof runNpm = runNpm): Promise<void> {
  await makeFolders(folder).catch((cause: unknown) => {
    throw startTrouble(cause, folder);
  });
  // A folder of its own to npm, wherever it lies.
  await writeFile(join(folder, 'package.json'), '{ "private": true }\n');
  say(`Fetching the Bluetooth library into ${folder} …`);
  // No package runs a script of its own: what has to be built for a machine comes built with it.
  const status = await run(
    ['install', '--ignore-scripts', '--no-audit', '--no-fund', '--loglevel=error', ...BLUETOOTH_PACKAGES],
    folder,
  );
  if (status !== 0)
    throw new Error(
      'The Bluetooth library could not be fetched: is there internet? The lines above say more.',
    );
  loadGatt(folder);
  say(
    'Bluetooth low energy is set up: npm start -- watch --ble NAME, with the UUIDs that the board’s maker tells.',
  );
}

/** Runs npm; the answer is its exit status, or null if it could not be run. All that it says goes to stderr. */
function runNpm(args: string[], folder: string): Promise<number | null> {
  const windows = process.platform === 'win32';
  return new Promise((resolve) => {
    const child = spawn(windows ? 'npm.cmd' : 'npm', args, {
      cwd: folder,
      stdio: ['ignore', 2, 2],
      shell: windows,
    });
    child.on('error', () => resolve(null));
    child.on('close', resolve);
  });
}
