/** Found by name in the network: multicast DNS (RFC 6762) and its service discovery (RFC 6763). */
import { Bonjour } from 'bonjour-service';

/** The name under which the page is reached. Another collector in the same network may have it too: then both answer. */
export const FOUND_AS = 'spyhole.local';

export interface Announced {
  port: number;
  securePort: number | null;
  /** The page's own name among the services. */
  title: string;
}

/** Announces until the answer is called. `multicast` is handed to the library: tests keep to the loop-back. */
export function announce(
  { port, securePort, title }: Announced,
  onTrouble: (text: string) => void,
  multicast: Record<string, unknown> = {},
): () => Promise<void> {
  let told = false;
  const trouble = (cause: unknown) => {
    if (told) return;
    told = true;
    const why = cause instanceof Error ? cause.message : String(cause);
    onTrouble(`The page cannot be found as ${FOUND_AS} (${why}): open it by its address.`);
  };
  const bonjour = new Bonjour(multicast, trouble);
  // Without a listener a socket that fails would end the collector.
  const socket: unknown = Reflect.get(Reflect.get(bonjour, 'server'), 'mdns');
  if (isEmitter(socket)) {
    socket.on('error', trouble);
    socket.on('warning', () => undefined);
  }
  const publish = (type: string, at: number) => {
    const service = bonjour.publish({ name: title, type, port: at, host: FOUND_AS, txt: { path: '/' } });
    service.on('error', trouble);
  };
  publish('http', port);
  if (securePort !== null) publish('https', securePort);
  return () =>
    new Promise((resolve) => {
      bonjour.unpublishAll(() => bonjour.destroy(() => resolve()));
    });
}

function isEmitter(value: unknown): value is { on(event: string, listener: (value: unknown) => void): void } {
  return typeof value === 'object' && value !== null && 'on' in value && typeof value.on === 'function';
}
