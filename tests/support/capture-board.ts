/** A board that says what a capture holds, at its times so many times as fast, over the other end of a pty. */
import { ReadlineParser, SerialPort } from 'serialport';
import { parseCollectorLine } from '../../protocol/board-lines.ts';
import type { CaptureLine } from '../../protocol/capture.ts';

/** So long a collector that has opened the port may take to ask who is there. */
const ASKS_WITHIN_MS = 3000;
/** And so long its answer is on the way: at many times the speed, readings before it would be nobody's. */
const ANSWER_MS = 250;

/**
 * Sends the capture's `<` lines, once the collector has asked who is there, and resolves after the last. `?` is answered
 * with the last hello, as a board does; `G` is not, since the board of a capture keeps nothing.
 */
export async function playOverPty(path: string, lines: readonly CaptureLine[], speed: number): Promise<void> {
  const port = new SerialPort({ path, baudRate: 115_200, autoOpen: false });
  await new Promise<void>((resolve, reject) => port.open((error) => (error ? reject(error) : resolve())));
  const said = lines.filter(({ direction }) => direction === '<');
  const [first] = said;
  if (!first) throw new Error('a capture without a line of the board');
  let lastHello = said.find(({ text }) => text.startsWith('$B'))?.text ?? '';
  await new Promise<void>((resolve) => {
    const asked = setTimeout(resolve, ASKS_WITHIN_MS);
    port.pipe(new ReadlineParser({ delimiter: '\n', encoding: 'latin1' })).on('data', (text: string) => {
      const heard = parseCollectorLine(text);
      if (!heard.ok || heard.line.kind !== 'hello?') return;
      port.write(`${lastHello}\n`);
      clearTimeout(asked);
      setTimeout(resolve, ANSWER_MS);
    });
  });
  const begun = performance.now();
  let next = 0;
  await new Promise<void>((resolve) => {
    const send = () => {
      const now = first.at + (performance.now() - begun) * speed;
      for (let line = said[next]; line && line.at <= now; line = said[next]) {
        if (line.text.startsWith('$B')) lastHello = line.text;
        port.write(`${line.text}\n`, 'latin1');
        next += 1;
      }
      if (next < said.length) setTimeout(send, 5);
      else port.drain(() => resolve());
    };
    send();
  });
  // The port stays open a moment, so that what is on its way arrives.
  await new Promise((resolve) => setTimeout(resolve, 1000));
  await new Promise<void>((resolve) => port.close(() => resolve()));
}
