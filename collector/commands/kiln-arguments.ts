/** Which kilns are to be watched, and at which ports, as it is said on the command line. */

import { BROWSER_PORT } from '../../protocol/browser-link.ts';

/** As the names of boards and probes: they go into addresses and folders. */
const NAME = /^[a-z0-9-]{1,16}$/;

export interface KilnPorts {
  /** Null for the only kiln, which needs no name. */
  name: string | null;
  ports: string[];
}

/**
 * `--port A --port B` (or `A,B`): one kiln with a board at each. `--kiln front=A,B --kiln back=C`: two kilns. Throws with
 * one sentence where that cannot be.
 */
export function kilnsOf(ports: readonly string[], kilns: readonly string[]): KilnPorts[] {
  const named = kilns.map(namedKiln);
  const all = named.length > 0 ? named : [{ name: null, ports: ports.flatMap(split) }];
  if (ports.length > 0 && named.length > 0)
    throw new Error(
      'Give each kiln its ports with --kiln, as --kiln back=/dev/ttyUSB1, and leave --port away.',
    );
  const taken = new Map<string, string | null>();
  for (const { name, ports: own } of all)
    for (const port of own) {
      // Each kiln has a page of its own, and so a browser of its own that reads its board.
      if (taken.has(port) && !(port === BROWSER_PORT && taken.get(port) !== name))
        throw new Error(`The port ${port} is named twice: one board has one port, and one kiln has it.`);
      taken.set(port, name);
    }
  const twice = named.find(({ name }, place) => named.findIndex((other) => other.name === name) !== place);
  if (twice)
    throw new Error(`There are two kilns ${twice.name}: give all ports of a kiln at once, parted by commas.`);
  return all;
}

function namedKiln(text: string): KilnPorts {
  const [name = '', ...rest] = text.split('=');
  const ports = split(rest.join('='));
  if (!NAME.test(name))
    throw new Error(`A kiln's name is of a-z, 0-9 and -, as in --kiln back=/dev/ttyUSB1; '${name}' is none.`);
  if (ports.length === 0)
    throw new Error(`Say at which port the board of kiln ${name} is, as in --kiln ${name}=/dev/ttyUSB1.`);
  return { name, ports };
}

/** `FILE` is the plan of all kilns, `front=FILE,back=FILE` that of each. The answer is the file of a kiln, if it has one. */
export function planFileOf(plan: string | undefined, name: string | null): string | undefined {
  if (plan === undefined || name === null) return plan;
  const each = plan.split(',').map((part) => part.split('='));
  if (!each.every(([kiln = '', file]) => NAME.test(kiln) && file !== undefined)) return plan;
  return each.find(([kiln]) => kiln === name)?.[1];
}

function split(text: string): string[] {
  return text
    .split(',')
    .map((each) => each.trim())
    .filter((each) => each !== '');
}
