/** Alerts to send by hand, and receivers of 127.0.0.1 that write down what comes. */
import { createServer, type IncomingHttpHeaders } from 'node:http';
import type { AddressInfo } from 'node:net';
import { onTestFinished } from 'vitest';
import type { Call } from '../../alerts/ways/plan-of-ways.ts';
import type { Message } from '../../collector/ways/hand.ts';
import { ALERT_PRIORITY, type AlertName } from '../../protocol/alert-names.ts';

/** 2031-03-08T05:00:00Z */
export const NIGHT = Date.UTC(2031, 2, 8, 5);

export function callOf(name: AlertName = 'stall', changes: Partial<Call> = {}): Call {
  return {
    kiln: 'Spring kiln',
    id: `${name}//${NIGHT}`,
    name,
    probe: null,
    priority: ALERT_PRIORITY[name],
    text: 'The kiln stands still. Let it burn down.',
    raisedAt: NIGHT,
    acknowledged: null,
    ...changes,
  };
}

export function messageOf(
  event: Message['event'],
  call: Call | null = callOf(),
  step: Message['step'] = 1,
): Message {
  return { event, kiln: 'Spring kiln', step, call };
}

export interface Received {
  headers: IncomingHttpHeaders;
  body: string;
}

/** Answers with `statuses` in turn, the last one for ever. */
export async function receiver(
  statuses: readonly number[],
  headers: Record<string, string> = {},
): Promise<{ url: string; received: Received[]; close: () => Promise<void> }> {
  const received: Received[] = [];
  const server = createServer((request, response) => {
    const chunks: Buffer[] = [];
    request.on('data', (chunk) => chunks.push(chunk));
    request.on('end', () => {
      received.push({ headers: request.headers, body: Buffer.concat(chunks).toString() });
      response.writeHead(statuses[received.length - 1] ?? statuses.at(-1) ?? 200, headers).end();
    });
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const close = () =>
    new Promise<void>((resolve) => {
      server.closeAllConnections();
      server.close(() => resolve());
    });
  onTestFinished(close);
  return { url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/kiln`, received, close };
}

/** Until `what` holds. */
export async function until(what: () => boolean): Promise<void> {
  while (!what()) await new Promise((resolve) => setTimeout(resolve, 5));
}
