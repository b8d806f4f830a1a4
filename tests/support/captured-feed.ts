/** A capture put through the pipeline into a live feed, as a played one is. */
import { readFileSync } from 'node:fs';
import { newPipeline, type PipelineInput, pipelineEach } from '../../collector/firing/pipeline.ts';
import { createFeed, type Feed } from '../../collector/server/feed.ts';
import { parseCaptureLine } from '../../protocol/capture.ts';
import { parseLogEntry } from '../../protocol/log-entries.ts';
import { defaultPlan } from '../../protocol/plan.ts';

const NO_CLOCK = { rate: 1, now: () => 0, after: () => () => undefined, skip: () => undefined };

/** `keep`: whether a line of the capture counts. */
export function capturedFeed(file: string, keep: (line: string) => boolean = () => true): Feed {
  const plan = defaultPlan();
  const pipeline = newPipeline(plan);
  const firing = { id: file, name: file, startedAt: null };
  const feed = createFeed({ run: 'run-1', clock: NO_CLOCK, source: 'capture', firing, plan });
  let entries = 0;
  const put = (input: PipelineInput) =>
    pipelineEach(pipeline, input, (output) => {
      if (output.kind === 'took-hello') feed.noteHello(output.at, output.hello);
      else if (output.kind === 'took-log') {
        const { at: madeAt, log } = output;
        const { entry } = log;
        const at = entry.at === undefined ? madeAt : Date.parse(entry.at);
        const id = entry.id ?? `row-${entries}`;
        const row = { at, madeAt, who: '', where: '', log: entry.log, json: { ...entry }, undone: false };
        feed.publishLog({ entry: entries, id, ...row });
        entries += 1;
      } else if (output.kind !== 'desk') feed.publish(output);
    });
  const text = readFileSync(new URL(`../../sample-captures/${file}.capture`, import.meta.url), 'utf8');
  for (const line of text.split('\n').filter(keep)) {
    const record = parseCaptureLine(line);
    if (!record) continue;
    const { at, link, direction } = record;
    if (direction === '<') {
      if (!pipeline.desks.has(link)) put({ kind: 'opened', at, link });
      put({ kind: 'line', at, link, text: record.text });
    } else if (direction === '@') {
      const log = parseLogEntry(JSON.parse(record.text));
      if (log) put({ kind: 'log', at, log });
    }
  }
  return feed;
}
