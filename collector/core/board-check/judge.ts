/** The check before lighting: from facts to a verdict in words. */
import type { BoardFacts } from '../../../protocol/board-facts.ts';
import type { Finding } from './finding.ts';
import { judgeBoard, judgeHearing } from './judge-board.ts';
import { judgeProbes } from './judge-probes.ts';

export interface Judgement {
  /** `listening`: too little has been heard to say. */
  verdict: 'fit' | 'not-fit' | 'listening';
  sentence: string;
  /** What to mend first, then what to mind, then what is fine. */
  findings: Finding[];
  /** What this check has not tried, and how a person can. */
  untried: string[];
}

/** So many readings make a verdict; a board that says nothing gets as long as `LISTEN_MS`. */
const LEAST_READINGS = 8;
const LISTEN_MS = 10_000;

const ORDER = { mend: 0, mind: 1, fine: 2 } as const;

/** Judges what is known of one board. Pure; the same facts give the same words. */
export function judge(facts: BoardFacts): Judgement {
  const unheard = judgeHearing(facts);
  if (unheard.length > 0)
    return facts.heardForMs < LISTEN_MS ? listening([]) : notFit(unheard, untriedOf(facts, []));
  const all = [...judgeProbes(facts), ...judgeBoard(facts)];
  const findings = [...all].sort((a, b) => ORDER[a.grade] - ORDER[b.grade]);
  if (facts.readings < LEAST_READINGS) return listening(findings);
  const untried = untriedOf(facts, findings);
  if (findings.some(({ grade }) => grade === 'mend')) return notFit(findings, untried);
  const mind = findings.some(({ grade }) => grade === 'mind');
  return {
    verdict: 'fit',
    sentence: mind ? 'Fit for a firing, but mind:' : 'Fit for a firing.',
    findings,
    untried,
  };
}

function listening(findings: Finding[]): Judgement {
  return { verdict: 'listening', sentence: 'Listening to the board …', findings, untried: [] };
}

function notFit(findings: Finding[], untried: string[]): Judgement {
  return { verdict: 'not-fit', sentence: 'Not fit yet:', findings, untried };
}

function untriedOf(facts: BoardFacts, findings: readonly Finding[]): string[] {
  const reads = facts.probes.filter(({ lastC }) => lastC !== null).map(({ name }) => name);
  const warmed = new Set(findings.filter(({ what }) => what === 'warms').map(({ probe }) => probe));
  const cold = reads.filter((name) => !warmed.has(name));
  const untried: string[] = [];
  if (cold.length > 0)
    untried.push(
      `Warm the tip of ${cold.join(', ')} in your hand, one after the other: its reading must go up. If it goes down its two wires are crossed; if another one goes up, two are swapped.`,
    );
  if (facts.cable === null && facts.hello !== null)
    untried.push('What the board does when its cable is pulled was not tried.');
  return untried;
}
