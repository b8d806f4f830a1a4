/** A phone's way to the collector that can be cut, as poor Wi-Fi is: what goes over it is dropped, and nobody is let in. */
import { connect, createServer, type Socket } from 'node:net';

export interface Way {
  url: string;
  cut(): void;
  mend(): void;
  close(): Promise<void>;
}

/** Another loop-back address: a browser is told that `localhost` is there. */
const HERE = '127.0.0.2';
export const BY_THIS_WAY = `--host-resolver-rules=MAP localhost ${HERE}`;

/** A way to the server at `url`, of the same port, so that the collector knows itself by it. */
export async function wayTo(url: string): Promise<Way> {
  const { hostname, port } = new URL(url);
  const sockets = new Set<Socket>();
  let whole = true;
  const server = createServer((phone) => {
    if (!whole) {
      phone.destroy();
      return;
    }
    const collector = connect(Number(port), hostname);
    for (const socket of [phone, collector]) {
      sockets.add(socket);
      socket.on('error', () => socket.destroy());
      socket.on('close', () => {
        sockets.delete(socket);
        phone.destroy();
        collector.destroy();
      });
    }
    phone.pipe(collector).pipe(phone);
  });
  await new Promise<void>((resolve) => server.listen(Number(port), HERE, resolve));
  const cut = () => {
    whole = false;
    for (const socket of sockets) socket.destroy();
  };
  return {
    url: `http://localhost:${port}/`,
    cut,
    mend: () => {
      whole = true;
    },
    close: () => {
      cut();
      return new Promise((resolve) => server.close(() => resolve()));
    },
  };
}
