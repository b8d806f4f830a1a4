/** Which folder a command means by a firing: a path, or a name in the data folder. */
import { readdir, stat } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { userDataFolder } from './user-folders.ts';

const isFiring = (folder: string) =>
  stat(join(folder, 'readings.csv')).then(
    (status) => status.isFile(),
    () => false,
  );

/**
 * The folder of a firing that was named by its path or by its name in the data folder, where each of several kilns has a
 * folder of its own. Throws one sentence where there is none.
 */
export async function firingFolder(firing: string, data: string | undefined): Promise<string> {
  const dataFolder = resolve(data ?? userDataFolder());
  const kilns = await readdir(dataFolder, { withFileTypes: true }).catch(() => []);
  const places = [
    resolve(firing),
    join(dataFolder, firing),
    ...kilns.filter((entry) => entry.isDirectory()).map(({ name }) => join(dataFolder, name, firing)),
  ];
  for (const folder of places) if (await isFiring(folder)) return folder;
  throw new Error(`There is no firing ${firing}: give its folder, or its name in ${dataFolder}.`);
}
