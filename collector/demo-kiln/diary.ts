/** What the demo kiln's potter does, as entries of the log book. */
import type { KnownLogEntry } from '../../protocol/log-entries.ts';
import type { Deed } from './potter-state.ts';
import type { DemoProbe } from './probes.ts';

type Word =
  | Exclude<Deed, { log: 'stoke' | 'rake' }>
  | Extract<KnownLogEntry, { log: 'stoke' }>
  | Extract<KnownLogEntry, { log: 'note' }>;

const WHO = 'the potter';

function wordOf(deed: Deed): Word {
  switch (deed.log) {
    case 'stoke':
      return { log: 'stoke', hole: deed.hole, kg: deed.wood.kg };
    case 'rake':
      return { log: 'note', note: 'Raked the embers through and let them burn down.' };
    default:
      return deed;
  }
}

/** The entry for a deed. A cone is named by the probe that hangs by it, or by its place where none does. */
export function deedEntry(deed: Deed, id: string, probes: readonly DemoProbe[]): KnownLogEntry {
  const word: Word = { ...wordOf(deed), id, who: WHO };
  if ((word.log !== 'cone-bending' && word.log !== 'cone-down') || word.probe === undefined) return word;
  const { probe: place, ...cone } = word;
  const near = probes.find(({ zone }) => zone === place);
  return near ? { ...cone, probe: near.spec.name } : { ...cone, where: place };
}
