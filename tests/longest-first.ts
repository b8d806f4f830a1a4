/** The order of the files in `npm test`: those that take longest begin, so that none of them is left to run alone at the end. */
import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** Longest first; whatever is not named comes after them. */
const LONGEST = [
  'e2e/evening/evening',
  'board-sketch/over-a-pty',
  'board-sketch/joined',
  'firing/pick-up',
  'page/page',
  'e2e/capture-over-a-pty',
  'page/axe',
  'page/layout/layout',
  'e2e/kill',
  'board-sketch/chips',
  'e2e/phones',
  'page/push',
  'e2e/browser-link',
  'page/room',
  'board-check/over-a-pty',
  'score/scoring',
];

const place = ({ moduleId }: TestSpecification): number => {
  const found = LONGEST.findIndex((name) => moduleId.endsWith(`/${name}.test.ts`));
  return found === -1 ? LONGEST.length : found;
};

/** Files that share a worker stand side by side, or each would get a new one. */
const shares = ({ project }: TestSpecification): number => (project.config.isolate ? 0 : 1);

export class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files);
    return sorted.sort((a, b) => shares(a) - shares(b) || place(a) - place(b));
  }
}
