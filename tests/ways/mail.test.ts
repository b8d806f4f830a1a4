/** E-mail, against a mail server in this process (RFC 5321). */
import type { AddressInfo } from 'node:net';
import { SMTPServer } from 'smtp-server';
import { describe, expect, it, onTestFinished } from 'vitest';
import { mailHand } from '../../collector/ways/mail.ts';
import { callOf, messageOf } from './support.ts';

const nothing = () => undefined;

async function mailServer(refuse: string[] = []) {
  const mails: { to: string[]; text: string }[] = [];
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS'],
    onAuth: ({ username, password }, _session, done) =>
      username === 'kiln' && password === 'right-password'
        ? done(null, { user: username })
        : done(new Error('No')),
    onRcptTo: ({ address }, _session, done) =>
      done(refuse.includes(address) ? new Error('No such box') : null),
    onData: (stream, { envelope }, done) => {
      let text = '';
      stream.on('data', (chunk) => {
        text += chunk;
      });
      stream.on('end', () => {
        mails.push({ to: envelope.rcptTo.map(({ address }) => address), text });
        done();
      });
    },
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  onTestFinished(() => new Promise<void>((resolve) => server.close(() => resolve())));
  return { host: `127.0.0.1:${(server.server.address() as AddressInfo).port}`, mails };
}

function handTo(smtp: string, to: string[]) {
  const hand = mailHand({ smtp, from: 'kiln@example.org', to });
  onTestFinished(() => hand.close());
  return hand;
}

describe('a mail', () => {
  it('arrives, says how urgent and what, and goes to all', async () => {
    const { host, mails } = await mailServer();
    const hand = handTo(`smtp://kiln:right-password@${host}`, ['anna@example.org', 'ben@example.org']);
    const sent = await hand.send(messageOf('raised', callOf('falling')), nothing);
    expect(sent).toMatchObject({ reached: true });
    expect(mails).toHaveLength(1);
    expect(mails[0]?.to).toEqual(['anna@example.org', 'ben@example.org']);
    expect(mails[0]?.text).toContain('Subject: Come now: Spring kiln');
    expect(mails[0]?.text).toContain('The kiln stands still. Let it burn down.');
    expect(mails[0]?.text).toMatch(/^Importance: High/im);
  });

  it('as a test says that nothing is wrong', async () => {
    const { host, mails } = await mailServer();
    await handTo(`smtp://${host}`, ['anna@example.org']).send(messageOf('test', null), nothing);
    expect(mails[0]?.text).toContain('Nothing is wrong at the kiln');
  });

  it.each([
    { what: 'with a wrong password', address: 'smtp://kiln:wrong-password@', refuse: [], text: 'EAUTH' },
    {
      what: 'to a box that is not there',
      address: 'smtp://',
      refuse: ['anna@example.org'],
      text: 'EENVELOPE',
    },
  ])('$what is told as failed, without the password', async ({ address, refuse, text }) => {
    const { host, mails } = await mailServer(refuse);
    const hand = handTo(`${address}${host}`, ['anna@example.org']);
    const sent = await hand.send(messageOf('raised'), nothing);
    expect(sent).toMatchObject({ reached: false, text: expect.stringContaining(text) });
    expect(JSON.stringify([sent, hand.standing()])).not.toContain('wrong-password');
    expect(mails).toEqual([]);
  });
});
