/** Handlers that write down what a link tells. */
import type { LinkHandlers } from '../../collector/links/link.ts';

export interface Recorder extends LinkHandlers {
  lines: { at: number; text: string }[];
  texts(): string[];
  entries: { at: number; entry: unknown }[];
  standings: { state: string; text: string }[];
  states(): string[];
  drops: number;
}

export function recorder(): Recorder {
  const told: Recorder = {
    lines: [],
    texts: () => told.lines.map(({ text }) => text),
    entries: [],
    standings: [],
    states: () => told.standings.map(({ state }) => state),
    drops: 0,
    line: (at, text) => void told.lines.push({ at, text }),
    logged: (at, entry) => void told.entries.push({ at, entry }),
    standing: (state, text) => void told.standings.push({ state, text }),
    dropped: () => {
      told.drops += 1;
    },
  };
  return told;
}
