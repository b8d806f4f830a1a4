import { describe, expect, it } from 'vitest';
import { keepConnected, type Socket } from '../../dashboard/connection.ts';
import type { Standing } from '../../dashboard/state.ts';

/** A network that a test holds in its hand: sockets that were dialled, timers that were set, and a clock. */
function network() {
  const sockets: (Socket & { sent: string[]; closed: boolean })[] = [];
  const timers: { at: number; fn: () => void; cancelled: boolean }[] = [];
  const standings: Standing[] = [];
  const heard: string[] = [];
  let now = 0;
  let dialThrows = false;
  const connection = keepConnected({
    dial() {
      if (dialThrows) throw new Error('no network');
      const socket = {
        onopen: null,
        onmessage: null,
        onclose: null,
        onerror: null,
        sent: [] as string[],
        closed: false,
        send(text: string) {
          this.sent.push(text);
        },
        close() {
          this.closed = true;
        },
      };
      sockets.push(socket);
      return socket;
    },
    after(delayMs, fn) {
      const timer = { at: now + delayMs, fn, cancelled: false };
      timers.push(timer);
      return () => {
        timer.cancelled = true;
      };
    },
    chance: () => 1,
    greeting: () => 'hello',
    heard: (text) => heard.push(text),
    standing: (standing) => standings.push(standing),
  });
  const pass = (ms: number) => {
    const until = now + ms;
    for (;;) {
      const next = timers
        .filter((timer) => !timer.cancelled && timer.at <= until)
        .sort((a, b) => a.at - b.at)[0];
      if (!next) break;
      now = next.at;
      next.cancelled = true;
      next.fn();
    }
    now = until;
  };
  return {
    connection,
    sockets,
    standings,
    heard,
    pass,
    now: () => now,
    timersSet: () => timers.filter(({ cancelled }) => !cancelled).length,
    breakDial: (broken: boolean) => {
      dialThrows = broken;
    },
    last: () => {
      const socket = sockets.at(-1);
      if (!socket) throw new Error('nothing was dialled');
      return socket;
    },
  };
}

describe('the connection', () => {
  it('greets first on each socket, then hears and sends', () => {
    const net = network();
    expect(net.connection.send('too soon')).toBe(false);
    net.last().onopen?.();
    net.last().onmessage?.({ data: 'word' });
    expect(net.connection.send('mine')).toBe(true);
    expect(net.last().sent).toEqual(['hello', 'mine']);
    expect(net.heard).toEqual(['word']);
    expect(net.standings).toEqual(['connecting', 'open']);
  });

  it('takes error and close of the same socket for one loss', () => {
    const net = network();
    const first = net.last();
    first.onopen?.();
    const { onerror, onclose } = first;
    onerror?.();
    onclose?.({ code: 1006 });
    net.last().onclose?.({ code: 1006 });
    expect(net.timersSet()).toBe(1);
    net.pass(60_000);
    expect(net.standings.filter((standing) => standing === 'open')).toHaveLength(1);
  });

  it('waits longer each time, at most fifteen seconds, and never gives up', () => {
    const net = network();
    const dialled: number[] = [];
    for (let i = 0; i < 40; i += 1) {
      dialled.push(net.now());
      net.last().onclose?.({ code: 1006 });
      net.pass(15_000);
    }
    expect(net.sockets).toHaveLength(41);
    const net2 = network();
    const waits: number[] = [];
    for (let i = 0; i < 8; i += 1) {
      const before = net2.sockets.length;
      net2.last().onclose?.({ code: 1006 });
      let waited = 0;
      while (net2.sockets.length === before) {
        net2.pass(100);
        waited += 100;
      }
      waits.push(waited);
    }
    expect(waits).toEqual([500, 1000, 2000, 4000, 8000, 15_000, 15_000, 15_000]);
  });

  it('begins with short waits again once something was heard', () => {
    const net = network();
    for (let i = 0; i < 6; i += 1) {
      net.last().onclose?.({ code: 1006 });
      net.pass(15_000);
    }
    net.last().onopen?.();
    net.last().onmessage?.({ data: 'word' });
    const before = net.sockets.length;
    net.last().onclose?.({ code: 1006 });
    net.pass(500);
    expect(net.sockets).toHaveLength(before + 1);
  });

  it('lets go of a socket that says nothing for fifteen seconds, though it is open', () => {
    const net = network();
    const first = net.last();
    first.onopen?.();
    net.pass(10_000);
    first.onmessage?.({ data: 'word' });
    net.pass(14_999);
    expect(first.closed).toBe(false);
    net.pass(1);
    expect(first.closed).toBe(true);
    expect(net.standings.at(-1)).toBe('lost');
    net.pass(500);
    expect(net.sockets).toHaveLength(2);
  });

  it('leaves no handler on a socket that it let go', () => {
    const net = network();
    const first = net.last();
    first.onopen?.();
    first.onerror?.();
    expect([first.onopen, first.onmessage, first.onclose, first.onerror]).toEqual([null, null, null, null]);
    expect(first.closed).toBe(true);
  });

  it('goes on where dialling itself fails', () => {
    const net = network();
    net.breakDial(true);
    net.last().onclose?.({ code: 1006 });
    net.pass(20_000);
    expect(net.sockets).toHaveLength(1);
    net.breakDial(false);
    net.pass(15_000);
    expect(net.sockets).toHaveLength(2);
  });

  it('comes back at once when it is told that the network is there', () => {
    const net = network();
    for (let i = 0; i < 8; i += 1) {
      net.last().onclose?.({ code: 1006 });
      net.pass(15_000);
    }
    net.last().onclose?.({ code: 1006 });
    const before = net.sockets.length;
    net.connection.retryNow();
    expect(net.sockets).toHaveLength(before + 1);
    net.connection.retryNow();
    expect(net.sockets).toHaveLength(before + 1);
  });

  it('stays away for good when the collector says that the page is old', () => {
    const net = network();
    net.last().onopen?.();
    net.last().onclose?.({ code: 4001 });
    net.connection.retryNow();
    net.pass(600_000);
    expect(net.sockets).toHaveLength(1);
    expect(net.standings.at(-1)).toBe('old-page');
    expect(net.timersSet()).toBe(0);
  });
});
