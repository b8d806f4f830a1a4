/** `npm run check:cones`: how well the fitted cone equations give the published chart back. */
import { coneTable } from '../core/heat-work/cone-table.ts';

/** Exit status 1 if a figure is missed. */
export function conesCommand(): number {
  const { lines, holds } = coneTable();
  process.stdout.write(`${lines.join('\n')}\n`);
  return holds ? 0 : 1;
}
