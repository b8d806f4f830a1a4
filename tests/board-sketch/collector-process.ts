/**
 * A collector in a process of its own, so that it can be killed, with a clock that the test moves on: its serial link,
 * desk, core and archive are the real ones; its port is a pair of streams. It is told of each step in a message, and
 * answers with what it sent.
 */
import { stat } from 'node:fs/promises';
import { PassThrough, Writable } from 'node:stream';
import { setTimeout as sleep } from 'node:timers/promises';
import { findRunning } from '../../collector/archive/firings.ts';
import { newFiringOnDisk, pickUpFiring } from '../../collector/firing/begin.ts';
import { ONLY_LINK } from '../../collector/firing/beginning.ts';
import { startWatch } from '../../collector/firing/watch.ts';
import type { Port } from '../../collector/links/port.ts';
import { serialLink } from '../../collector/links/serial.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import { handClock } from '../links/hand-clock.ts';
import type { StepAnswer, StepMessage } from './lockstep.ts';

const PATH = '/dev/no-such-board';
const [dataFolder = '', startText = ''] = process.argv.slice(2);
const clock = handClock(Number(startText));
let pluggedIn = true;
let port: { source: PassThrough; isOpen: boolean } | null = null;
let openings = 0;
let sent = '';

function openPort(): Promise<Port> {
  if (!pluggedIn) return Promise.reject(new Error('No such file or directory'));
  openings += 1;
  const opened = { source: new PassThrough(), isOpen: true };
  const sink = new Writable({
    write: (chunk: Buffer, _encoding, done) => {
      if (opened.isOpen) sent += chunk.toString('latin1');
      done();
    },
  });
  const close = () => {
    opened.isOpen = false;
    return Promise.resolve();
  };
  port = opened;
  return Promise.resolve({ source: opened.source, sink, isOpen: () => opened.isOpen, close });
}

function plug(isIn: boolean): void {
  if (pluggedIn && !isIn && port !== null) {
    port.isOpen = false;
    port.source.destroy();
  }
  pluggedIn = isIn;
}

/** The link looks so many times, at most, into the file system before it opens a port. */
const LOOKS_AT_DISK = 10;

/**
 * Lets happen what waits for the event loop. While a port is being opened the link looks at the file system: as many
 * looks of our own take as long, however busy the machine is, so that no time of the firing goes by meanwhile.
 */
async function settle(): Promise<void> {
  for (let look = 0; look < LOOKS_AT_DISK && pluggedIn && !port?.isOpen; look += 1)
    await stat(PATH).catch(() => null);
  for (let turn = 0; turn < 3; turn += 1) await new Promise(setImmediate);
}

const say = () => undefined;
const plan = { ...defaultPlan(), name: 'lockstep' };
const settings = { clock, dataFolder, plan, source: 'board' as const, run: String(process.pid), say };
const onTrouble = (text: string | null) => {
  if (text !== null) throw new Error(text);
};
const running = await findRunning(dataFolder, clock.now());
const firing =
  running === null
    ? await newFiringOnDisk({ ...settings, onTrouble })
    : await pickUpFiring({ ...settings, onTrouble }, `${dataFolder}/${running}`);
const open = serialLink({ path: PATH, baudRate: 115_200, clock, openPort });
const watch = startWatch({ ...settings, ...firing, links: [{ name: ONLY_LINK, open }] }, firing.beginning);
if (firing.newPlan !== null) watch.log({ ...firing.newPlan, log: 'plan' }, 'collector');

async function step({ ms, bytes, isIn }: Extract<StepMessage, { kind: 'step' }>): Promise<StepAnswer> {
  plug(isIn);
  if (bytes !== '' && port?.isOpen) port.source.write(Buffer.from(bytes, 'latin1'));
  await settle();
  clock.advance(ms);
  await settle();
  const answer = { bytes: sent, openings };
  sent = '';
  return answer;
}

async function close(): Promise<StepAnswer> {
  let steps = 0;
  let closed = false;
  const closing = watch.close().finally(() => {
    closed = true;
  });
  for (; !closed && steps < 1000; steps += 1) {
    await sleep(1);
    clock.advance(100);
  }
  if (!(await closing)) throw new Error('not all that was handed in is on the disk');
  return { bytes: '', openings };
}

process.on('message', (message: StepMessage) => {
  const work = message.kind === 'step' ? step(message) : close();
  void work
    .then((answer) => process.send?.(answer))
    .then(() => {
      if (message.kind === 'close') process.disconnect();
    });
});
process.on('disconnect', () => process.exit());
process.send?.({ bytes: '', openings } satisfies StepAnswer);
