/** Facts of a board that is fit for a firing, to be spoilt by tests. */
import type { BoardFacts, ProbeFacts } from '../../protocol/board-facts.ts';

export function goodProbe(name: string, part: Partial<ProbeFacts> = {}): ProbeFacts {
  return {
    name,
    couple: 'K',
    form: 'uv',
    lastC: 18,
    leastC: 17.8,
    mostC: 18.2,
    noiseC: 0.1,
    roseC: 0.1,
    fellC: 0.1,
    readings: 30,
    faults: {},
    ...part,
  };
}

export function goodFacts(part: Partial<BoardFacts> = {}): BoardFacts {
  return {
    link: 'ttyUSB0',
    standing: '/dev/ttyUSB0 is open.',
    heardForMs: 30_000,
    plain: false,
    hello: { board: 'shed-1', boot: '9F00C2A1', periodMs: 1000, keeps: 3600 },
    probes: [goodProbe('low'), goodProbe('high', { couple: 'S' })],
    coldJunction: { lastC: 20, leastC: 19.9, mostC: 20.1, none: 0 },
    readings: 30,
    lines: { all: 40, bad: {}, torn: 0 },
    skipped: 0,
    hellos: { asked: 5, answered: 5, tripMs: 12 },
    gives: { asked: 5, answered: 5, gone: 0, tripMs: 14 },
    pace: { medianMs: 1000, lowMs: 995, highMs: 1005 },
    clock: { fastPpm: 40, sdPpm: 60, overMs: 29_000 },
    restarts: 0,
    cable: null,
    ...part,
  };
}
