/** Found by name, over the loop-back alone: nothing leaves this machine. */
import { Bonjour, type Service } from 'bonjour-service';
import { expect, it, onTestFinished } from 'vitest';
import { announce, FOUND_AS } from '../../collector/server/found-by-name.ts';

/** A port and group of their own, on the loop-back interface. */
const LOOPBACK = { interface: '127.0.0.1', bind: '0.0.0.0', port: 15_353, ip: '239.255.77.77', ttl: 0 };

it('the page and its HTTPS are announced under a name of their own, and taken back', async () => {
  const troubles: string[] = [];
  const stop = announce(
    { port: 8321, securePort: 8322, title: 'Spring kiln' },
    (text) => troubles.push(text),
    LOOPBACK,
  );
  const seeker = new Bonjour(LOOPBACK);
  onTestFinished(() => seeker.destroy());
  const find = (type: string) =>
    new Promise<Service>((resolve) => {
      const browser = seeker.find({ type }, (service) => {
        browser.stop();
        resolve(service);
      });
    });
  const [http, https] = await Promise.all([find('http'), find('https')]);
  expect([http.name, http.port, http.host]).toEqual(['Spring kiln', 8321, FOUND_AS]);
  expect([https.port, https.host]).toEqual([8322, FOUND_AS]);
  expect(troubles).toEqual([]);
  const gone = new Promise<void>((resolve) => {
    const browser = seeker.find({ type: 'http' });
    browser.on('up', () => void stop());
    browser.on('down', () => resolve());
  });
  await gone;
});
