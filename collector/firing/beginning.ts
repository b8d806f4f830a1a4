/** What is known of a firing before its link opens: nothing yet, or all that the archive has of it. */
import type { Hello } from '../../protocol/board-lines.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import type { Clock } from '../clock.ts';
import type { CoreInput, CoreOutput } from '../core/inputs.ts';
import { step } from '../core/step.ts';
import { deskStep } from '../lines/desk.ts';
import type { Feed } from '../server/feed.ts';
import { deskOf, newPipeline, type Pipeline } from './pipeline.ts';

/** The desk's name for the only link. */
export const ONLY_LINK = '';
/** A tick waits so long, in real time, for a reading that is on its way. */
const SLACK_REAL_MS = 2000;

export interface Beginning {
  pipeline: Pipeline;
  boards: Hello[];
  /** The archive's entry number of each log entry's id. */
  entries: Map<string, number>;
}

/** Everything as it is before the first input. The plan becomes the firing's first log entry. */
export function freshBeginning(clock: Clock): Beginning {
  const slackMs = SLACK_REAL_MS * clock.rate;
  return { pipeline: newPipeline(defaultPlan(), slackMs), boards: [], entries: new Map() };
}

/** Feeds one input of a recorded firing again, as it went in the first time: to the core, the desk's memory and the feed. */
export function relive(beginning: Beginning, input: CoreInput, feed: Feed): CoreOutput[] {
  const { pipeline } = beginning;
  const desk = deskOf(pipeline, ONLY_LINK);
  if (input.kind === 'hello') {
    keepHello(beginning.boards, input.hello);
    feed.noteHello(input.at, input.hello);
    deskStep(desk, { kind: 'adopt-hello', hello: input.hello });
  } else if (input.kind === 'reading') {
    deskStep(desk, { kind: 'adopt', row: input });
  }
  const stepped = step(pipeline.core, input);
  pipeline.core = stepped.state;
  if (!(input.kind === 'reading' && input.late)) {
    pipeline.lastWasReading = input.kind === 'reading';
    if (input.kind === 'reading' || input.kind === 'log') pipeline.loggedSince = input.kind === 'log';
  }
  for (const output of stepped.outputs) feed.publish(output);
  return stepped.outputs;
}

/** Puts a board's hello in the place of its last one. */
export function keepHello(boards: Hello[], hello: Hello): void {
  const place = boards.findIndex((board) => board.board === hello.board);
  if (place < 0) boards.push(hello);
  else boards[place] = hello;
}
