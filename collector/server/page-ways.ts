/** What a page says and asks about the ways that an alert reaches a person. */
import type { CollectorMessage, PageMessage } from '../../protocol/live-messages.ts';
import type { Ways } from '../ways/desk.ts';

export type WaysDoor = Pick<Ways, 'phone' | 'subscribe' | 'shown' | 'test' | 'message' | 'onNews'>;

type AboutWays = Extract<PageMessage, { type: 'phone' | 'push' | 'shown' | 'test' }>;

const NO_WAYS = 'This collector has no ways to call but its page and its lamp.';

export function isAboutWays(message: PageMessage): message is AboutWays {
  return ['phone', 'push', 'shown', 'test'].includes(message.type);
}

/** Never rejects. A heartbeat is not answered. */
export async function hearAboutWays(
  ways: WaysDoor | null,
  message: AboutWays,
  reply: (answer: CollectorMessage) => void,
): Promise<void> {
  const { id } = message;
  if (message.type === 'phone') {
    ways?.phone({ id, name: message.name, armed: message.armed });
  } else if (message.type === 'shown') {
    ways?.shown(id, message.push);
    reply({ type: 'taken', id, refused: null });
  } else if (message.type === 'push') {
    const refused = ways === null ? NO_WAYS : await ways.subscribe(id, message.subscription).catch(String);
    reply({ type: 'taken', id, refused });
  } else {
    const { way } = message;
    const { reached, text } =
      ways === null
        ? { reached: false, text: NO_WAYS }
        : await ways.test(way).catch((cause) => ({ reached: false, text: String(cause) }));
    reply({ type: 'tested', id, way, reached, text });
  }
}
