/** What is pushed, shown on a locked phone; and what goes back to the collector from there: that it was shown, or heard. */

import { readThisPhone } from '../this-phone.ts';
import { type WorkerWords, workerWords } from './worker-words.ts';

/** As `collector/ways/push.ts` sends it. */
export interface Pushed {
  id: string;
  title: string;
  body: string;
  tag: string;
  urgent: boolean;
  priority: string | null;
  alert: string | null;
  /** Paths of the kiln's page and of its live feed. */
  path: string;
  live: string;
}

/** What the worker needs of the browser. */
export interface AtKiln {
  dial(path: string): WebSocket;
  show(title: string, options: object): Promise<void>;
}

/** A worker that was woken by a push is let live for half a minute or so. */
const ANSWER_WITHIN_MS = 8000;
const COME_NOW_BUZZ = [500, 200, 500, 200, 500, 200, 500];
const BUZZ = [200, 150, 200];

const text = (value: unknown, otherwise: string): string =>
  typeof value === 'string' && value !== '' ? value : otherwise;

/**
 * Reads it with a substitute for all that is missing: a push that shows nothing would cost the phone its right to be
 * called, and the kiln its call. By hand, since the schema library would make the worker ten times as large.
 */
export function pushedOf(raw: unknown): Pushed {
  let value: unknown = raw;
  try {
    if (typeof raw === 'string') value = JSON.parse(raw);
  } catch {
    value = null;
  }
  const field = (name: string): unknown =>
    typeof value === 'object' && value !== null ? Reflect.get(value, name) : undefined;
  const alert = field('alert');
  const priority = field('priority');
  return {
    id: text(field('id'), ''),
    title: text(field('title'), 'Spyhole'),
    body: text(field('body'), ''),
    tag: text(field('tag'), 'spyhole'),
    urgent: field('urgent') !== false,
    priority: typeof priority === 'string' ? priority : null,
    alert: typeof alert === 'string' ? alert : null,
    path: ownPath(field('path'), '/'),
    live: ownPath(field('live'), '/live'),
  };
}

/** A path on the collector, and nowhere else. */
function ownPath(value: unknown, otherwise: string): string {
  return typeof value === 'string' && /^\/(?![/\\])/.test(value) ? value : otherwise;
}

export function notificationOf(
  pushed: Pushed,
  { called, said }: WorkerWords,
): { title: string; options: object } {
  const { title, body, tag, urgent, priority, alert } = pushed;
  const comeNow = urgent && priority === 'come-now';
  return {
    title: said(title),
    options: {
      body: body === '' ? called.unread : said(body),
      tag,
      // The same alert once more calls once more; that it is over does not.
      renotify: urgent,
      silent: !urgent,
      requireInteraction: comeNow,
      ...(urgent ? { vibrate: comeNow ? COME_NOW_BUZZ : BUZZ } : {}),
      data: pushed,
      actions: urgent && alert !== null ? [{ action: 'heard', title: called.heard }] : [],
    },
  };
}

export async function showPush(pushed: Pushed, hands: AtKiln): Promise<void> {
  const { title, options } = notificationOf(pushed, await workerWords());
  await hands.show(title, options);
  const phone = await readThisPhone();
  if (phone === null || pushed.id === '') return;
  // Away from the kiln's network nobody takes it, and nothing is lost by that.
  await tell(pushed.live, { type: 'shown', id: phone.id, push: pushed.id }, phone.id, hands);
}

/** Answers the alert in the log book; where the collector is not reached, says that it is not answered. */
export async function answerPush(pushed: Pushed, hands: AtKiln): Promise<void> {
  if (pushed.alert === null) return;
  const phone = await readThisPhone();
  const id = `push-${crypto.randomUUID()}`;
  const made = phone === null ? {} : { where: phone.where, ...(phone.who === '' ? {} : { who: phone.who }) };
  const entry = { log: 'ack', alert: pushed.alert, id, ...made };
  const taken = await tell(pushed.live, { type: 'log', entry }, id, hands);
  if (taken) return;
  const words = await workerWords();
  const { title, options } = notificationOf(pushed, words);
  await hands.show(`${words.called.notAnswered}: ${title}`, { ...options, body: words.called.notReached });
}

/** Whether the collector has taken it. Never rejects. */
function tell(path: string, message: object, id: string, { dial }: AtKiln): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = dial(path);
    const over = (taken: boolean) => {
      clearTimeout(timer);
      socket.close();
      resolve(taken);
    };
    const timer = setTimeout(() => over(false), ANSWER_WITHIN_MS);
    socket.onopen = () => socket.send(JSON.stringify(message));
    socket.onerror = () => over(false);
    socket.onclose = () => over(false);
    socket.onmessage = ({ data }) => {
      try {
        const answer: unknown = JSON.parse(String(data));
        if (typeof answer !== 'object' || answer === null) return;
        if (Reflect.get(answer, 'type') !== 'taken' || Reflect.get(answer, 'id') !== id) return;
        over(Reflect.get(answer, 'refused') === null);
      } catch {
        // Whatever else is said there is not for the worker.
      }
    };
  });
}
