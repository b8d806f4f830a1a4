/** A port made of two plain streams, and an opener that hands out such ports and keeps count. */
import { PassThrough, Writable } from 'node:stream';
import type { OpenPort, Port } from '../../collector/links/port.ts';

export interface FakePort extends Port {
  source: PassThrough;
  sent: string[];
  /** Listeners that the link has left on the source and the sink. */
  listeners(event: string): number;
}

export function fakePort(how: { closes?: boolean; drains?: boolean } = {}): FakePort {
  const { closes = true, drains = true } = how;
  const source = new PassThrough();
  const sent: string[] = [];
  const sink = new Writable({
    write: (chunk: Buffer, _encoding, done) => {
      sent.push(chunk.toString('latin1'));
      if (drains) done();
    },
  });
  let open = true;
  return {
    source,
    sink,
    sent,
    listeners: (event) => source.listenerCount(event) + sink.listenerCount(event),
    isOpen: () => open,
    close: () => {
      open = false;
      return closes ? Promise.resolve() : new Promise(() => undefined);
    },
  };
}

export interface FakeOpener {
  open: OpenPort;
  tries: { path: string; baudRate: number }[];
  /** Ports that were handed out. */
  ports: FakePort[];
}

/** Each try takes the next answer; the last one is repeated. */
export function fakeOpener(...answers: (() => FakePort | Error | Promise<FakePort>)[]): FakeOpener {
  const opener: FakeOpener = {
    tries: [],
    ports: [],
    open: async (options) => {
      const answer = answers[Math.min(opener.tries.length, answers.length - 1)];
      opener.tries.push(options);
      const made = await answer?.();
      if (made === undefined || made instanceof Error) throw made ?? new Error('no answer');
      opener.ports.push(made);
      return made;
    },
  };
  return opener;
}
