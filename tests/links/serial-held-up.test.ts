import { expect, test } from 'vitest';
import { serialLink } from '../../collector/links/serial.ts';
import { fakeOpener, fakePort } from './fake-port.ts';
import { handClock, runClock, runClockUntil } from './hand-clock.ts';
import { recorder } from './recorder.ts';

const WATCH_MS = 2_000;

test('a machine held up while it looks after the port takes what it sent meanwhile for sent, and goes on sending', async () => {
  const clock = handClock(1_000_000);
  const told = recorder();
  const opener = fakeOpener(fakePort);
  const link = serialLink({
    path: '/nowhere/port',
    baudRate: 115_200,
    clock,
    openPort: opener.open,
    byIdFolder: '/nowhere/by-id',
  })(told);
  await runClockUntil(clock, () => told.states().includes('open'));
  // Sent in the very moment in which the link begins to look; the look takes eight seconds.
  link.send('first');
  clock.advance(WATCH_MS);
  clock.advance(8_000);
  await runClock(clock, 1_000);
  link.send('second');
  await runClock(clock, 100);
  expect(opener.ports).toHaveLength(1);
  expect(opener.ports[0]?.sent).toEqual(['first\n', 'second\n']);
  const closed = link.close();
  await runClock(clock, 5_000, { stepMs: 500 });
  await closed;
});
