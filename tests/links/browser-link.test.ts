/** A board that a browser reads, as the collector sees it: pages on sockets of the tests' own. */
import { EventEmitter } from 'node:events';
import { describe, expect, it } from 'vitest';
import { browserLink, closedDoor } from '../../collector/links/browser-link.ts';
import { LINE_LIMIT_BYTES } from '../../collector/links/port-lines.ts';
import { type FromReader, type ToReader, toReaderSchema } from '../../protocol/browser-link.ts';
import { recorder } from './recorder.ts';

type Door = ReturnType<typeof browserLink>['door'];

/** A page's socket, seen from both ends. */
function reader(door: Door) {
  const events = new EventEmitter();
  const said: ToReader[] = [];
  const board: string[] = [];
  const socket = {
    readyState: 1,
    OPEN: 1 as const,
    bufferedAmount: 0,
    paused: 0,
    pings: 0,
    send(data: string | Buffer) {
      if (typeof data === 'string') said.push(toReaderSchema.parse(JSON.parse(data)));
      else board.push(data.toString('latin1'));
    },
    ping: () => {
      socket.pings += 1;
    },
    close: () => gone(),
    terminate: () => gone(),
    on: (name: string, listener: (...args: unknown[]) => void) => events.on(name, listener),
    pause: () => {
      socket.paused += 1;
    },
    resume: () => undefined,
  };
  const gone = () => {
    if (socket.readyState === 3) return;
    socket.readyState = 3;
    events.emit('close');
  };
  door.add(socket as unknown as Parameters<Door['add']>[0], 'page 10.0.0.9');
  return {
    socket,
    said,
    board,
    gone,
    says: (message: FromReader) => events.emit('message', Buffer.from(JSON.stringify(message)), false),
    raw: (data: Buffer | string, isBinary: boolean) => events.emit('message', Buffer.from(data), isBinary),
    bytes: (text: string) => events.emit('message', Buffer.from(text, 'latin1'), true),
    pongs: () => events.emit('pong'),
  };
}

const ANNA: FromReader = { type: 'hold', phone: 'p-anna', name: 'Anna, phone 3f9a' };
const JORUN: FromReader = { type: 'hold', phone: 'p-jorun', name: 'Jorun' };
const OPEN: FromReader = { type: 'port', open: true, text: '' };
/** What is handed to a stream comes out of it a moment later. */
const settled = () => new Promise((resolve) => setImmediate(resolve));

function start() {
  const { openLink, door } = browserLink({ clock: { now: () => 5000.5 }, baudRate: 9600, ble: null });
  const told = recorder();
  const link = openLink(told);
  return { door, told, link, last: () => told.standings.at(-1) };
}

describe('a board that a browser reads', () => {
  it('waits for a page, and hands its lines on with the time of the clock', async () => {
    const { door, told, last } = start();
    expect(last()).toMatchObject({ state: 'connecting', text: expect.stringContaining('No browser reads') });
    const anna = reader(door);
    anna.says({ type: 'ask' });
    expect(anna.said).toEqual([{ type: 'told', baudRate: 9600, ble: null, holder: null, refused: null }]);
    anna.says(ANNA);
    expect(anna.said.at(-1)).toEqual({ type: 'held' });
    anna.says(OPEN);
    expect(last()).toEqual({ state: 'open', text: 'The board is read by Anna, phone 3f9a.' });
    anna.bytes('$R,0,1000,18.50,');
    anna.bytes('12,3*3085\r\n$?*264C\n$R,1');
    await settled();
    expect(told.lines).toEqual([
      { at: 5000, text: '$R,0,1000,18.50,12,3*3085' },
      { at: 5000, text: '$?*264C' },
    ]);
  });

  it('carries lines back to the board, but not more than it takes', () => {
    const { door, link } = start();
    link.send('$L,0*D5B3');
    const anna = reader(door);
    anna.says(ANNA);
    link.send('$L,0*D5B3');
    expect(anna.board).toEqual([]);
    anna.says(OPEN);
    link.send('$L,2*F1CA');
    expect(anna.board).toEqual(['$L,2*F1CA\n']);
    anna.socket.bufferedAmount = 1_020;
    link.send('$L,2*F1CA');
    expect(anna.board).toHaveLength(1);
  });

  it('is held by one page: another is told which, until it lets go or is gone', () => {
    const { door, last } = start();
    const anna = reader(door);
    const jorun = reader(door);
    anna.says(ANNA);
    jorun.says(JORUN);
    expect(jorun.said.at(-1)).toEqual({
      type: 'refused',
      text: 'The board is read by Anna, phone 3f9a already: let go of it there first.',
    });
    // Whoever does not hold it does not speak for the board.
    jorun.says(OPEN);
    expect(last()?.state).toBe('connecting');
    anna.says(OPEN);
    anna.gone();
    expect(last()).toMatchObject({
      state: 'unplugged',
      text: expect.stringMatching(/^Anna, phone 3f9a is gone/),
    });
    jorun.says(JORUN);
    expect(jorun.said.at(-1)).toEqual({ type: 'held' });
    jorun.says({ type: 'let-go' });
    expect(last()?.text).toMatch(/^Jorun has let go of the board/);
  });

  it('goes over to the same browser at once when its page was loaded anew', async () => {
    const { door, told, last } = start();
    const before = reader(door);
    before.says(ANNA);
    before.says(OPEN);
    const after = reader(door);
    after.says(ANNA);
    after.says(OPEN);
    expect(before.socket.readyState).toBe(3);
    expect(last()?.state).toBe('open');
    expect(told.states()).not.toContain('unplugged');
    after.bytes('$?*264C\n');
    await settled();
    expect(told.texts()).toEqual(['$?*264C']);
  });

  it('is told as unplugged when the cable is out at the page, drops the torn line, and goes on', async () => {
    const { door, told, last } = start();
    const anna = reader(door);
    anna.says(ANNA);
    anna.says(OPEN);
    anna.bytes('$R,1,20');
    await settled();
    anna.says({ type: 'port', open: false, text: 'The board was unplugged from Anna.' });
    expect(last()).toEqual({ state: 'unplugged', text: 'The board was unplugged from Anna.' });
    expect(told.drops).toBe(1);
    anna.bytes('$?*264C\n');
    anna.says(OPEN);
    anna.bytes('$?*264C\n');
    await settled();
    expect(told.texts()).toEqual(['$?*264C']);
  });

  it('keeps no line that is too long, and no message that it cannot read', async () => {
    const { door, told } = start();
    const anna = reader(door);
    anna.says(ANNA);
    anna.says(OPEN);
    anna.bytes(`$${'x'.repeat(4 * LINE_LIMIT_BYTES)}`);
    anna.bytes('\n$?*264C\n');
    for (const junk of ['', '{', '[]', '{"type":"hold"}', '{"type":"port","open":"yes"}'])
      anna.raw(junk, false);
    await settled();
    expect(told.texts()).toEqual(['$?*264C']);
    expect(told.drops).toBe(1);
  });

  it('says that the speed is likely wrong where no text comes', () => {
    const { door, last } = start();
    const anna = reader(door);
    anna.says(ANNA);
    anna.says(OPEN);
    anna.bytes('\u0080\u00f8\u0000\u00fe'.repeat(20));
    return settled().then(() => {
      for (let beat = 0; beat < 5; beat += 1) door.beat();
      expect(last()).toMatchObject({ state: 'open', text: expect.stringContaining('it is 9600 baud now') });
    });
  });

  it('finds a page that answers no more, and lets one be that does', () => {
    const { door, last } = start();
    const anna = reader(door);
    anna.says(ANNA);
    anna.says(OPEN);
    for (let beat = 0; beat < 60; beat += 1) {
      door.beat();
      anna.pongs();
    }
    expect(last()?.state).toBe('open');
    for (let beat = 0; beat < 25; beat += 1) door.beat();
    expect(last()?.state).toBe('unplugged');
  });

  it('has the port opened again where the lines ask for it', () => {
    const { door, link, last } = start();
    const anna = reader(door);
    anna.says(ANNA);
    anna.says(OPEN);
    link.reopen();
    expect(anna.said.at(-1)).toEqual({ type: 'reopen' });
    expect(last()?.state).toBe('connecting');
    anna.says(OPEN);
    expect(last()?.state).toBe('open');
  });

  it('is refused where the collector reads its board itself', () => {
    const door = closedDoor('It reads its board itself.');
    const anna = reader(door);
    anna.says({ type: 'ask' });
    anna.says(ANNA);
    expect(anna.said.map((message) => message.type)).toEqual(['told', 'told']);
    expect(anna.said[0]).toMatchObject({ refused: 'It reads its board itself.' });
  });
});
