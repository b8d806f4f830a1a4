/** Opens a port, or says in one sentence why it cannot be had and what to do. */
import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { errorCode } from '../error-code.ts';

/** So many ports in a row are tried where the user has not named one. */
const PORTS_TRIED = 10;

export interface ListenWish {
  host: string;
  /** 0: any that is free. */
  port: number;
  /** No other port will do. */
  fixed: boolean;
}

/** The answer is the port that was opened. Rejects with one clear sentence. */
export async function listen(server: Server, wish: ListenWish): Promise<number> {
  const { host, port } = wish;
  const last = wish.fixed || port === 0 ? port : Math.min(65_535, port + PORTS_TRIED - 1);
  for (let tried = port; ; tried += 1) {
    try {
      return await listenOn(server, host, tried);
    } catch (error) {
      const code = errorCode(error);
      if (code === 'EADDRINUSE' && tried < last) continue;
      throw new Error(code === 'EADDRINUSE' ? busyText(port, last) : troubleText(code, tried, error));
    }
  }
}

function listenOn(server: Server, host: string, port: number): Promise<number> {
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, host, () => {
      server.off('error', reject);
      resolve((server.address() as AddressInfo).port);
    });
  });
}

function busyText(first: number, last: number): string {
  return first === last
    ? `Port ${first} is taken by another program: stop that one, or choose another port with --http-port.`
    : `Ports ${first} to ${last} are all taken by other programs: choose another port with --http-port.`;
}

function troubleText(code: string, port: number, error: unknown): string {
  if (code === 'EACCES')
    return `Port ${port} is not open to ordinary programs: choose one above 1023 with --http-port.`;
  return `Port ${port} cannot be opened: ${error instanceof Error ? error.message : String(error)}.`;
}
