/** The loudspeaker's tones as files, and the player that is found. WAV: the RIFF form by its published layout, from memory. */
import { chmodSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { loudspeakerHand } from '../../collector/ways/loudspeaker.ts';
import { toneWav } from '../../collector/ways/tones.ts';
import type { CallStep } from '../../protocol/alert-calls.ts';
import { ALERT_PRIORITIES } from '../../protocol/alert-names.ts';
import { tempFolder } from '../support/collector.ts';
import { callOf, messageOf } from './support.ts';

const nothing = () => undefined;
const samplesOf = (wav: Buffer) =>
  Array.from({ length: (wav.length - 44) / 2 }, (_, i) => wav.readInt16LE(44 + 2 * i));

describe('a tone', () => {
  it.each(ALERT_PRIORITIES)('for %s is a whole WAV file', (priority) => {
    const wav = toneWav(priority, 1);
    expect(wav.toString('latin1', 0, 4) + wav.toString('latin1', 8, 16)).toBe('RIFFWAVEfmt ');
    expect(wav.readUInt32LE(4)).toBe(wav.length - 8);
    expect(wav.readUInt32LE(40)).toBe(wav.length - 44);
    expect([wav.readUInt16LE(20), wav.readUInt16LE(22), wav.readUInt16LE(34)]).toEqual([1, 1, 16]);
  });

  it('is louder by each step, about twice', () => {
    const peak = (step: CallStep) => Math.max(...samplesOf(toneWav('come-now', step)).map(Math.abs));
    expect(peak(2) / peak(1)).toBeCloseTo(2, 1);
    expect(peak(3) / peak(2)).toBeCloseTo(2, 1);
    expect(peak(3)).toBeGreaterThan(30_000);
  });

  it('of each priority is told apart by how often and how long it sounds', () => {
    const sounding = (wav: Buffer) => {
      // Tenths of a second that are not silent.
      const samples = samplesOf(wav);
      return Array.from({ length: Math.ceil(samples.length / 2205) }, (_, i) =>
        samples.slice(i * 2205, (i + 1) * 2205).some((sample) => Math.abs(sample) > 1000) ? '#' : '.',
      ).join('');
    };
    expect(sounding(toneWav('come-now', 3))).toMatch(/^#{6,}\.#{6,}\.#{6,}\.?$/);
    expect(sounding(toneWav('look-soon', 3))).toMatch(/^##\.?##\.?$/);
    expect(sounding(toneWav('note', 3))).toMatch(/^###\.?$/);
  });
});

/** A player that writes down what it was given and ends with `status`. */
function playerIn(folder: string, name: string, status = 0, says = ''): string {
  const path = join(folder, name);
  const log = join(folder, 'played');
  writeFileSync(
    path,
    `#!/bin/sh\nfor last; do :; done\ncp "$last" "${log}.wav"\nprintf '%s\\n' "$*" >> "${log}"\n${says === '' ? '' : `echo '${says}' >&2\n`}exit ${status}\n`,
  );
  chmodSync(path, 0o755);
  return log;
}

async function handIn(
  path: string,
  own: [string, ...string[]] | null = null,
  bell: (() => void) | null = null,
) {
  const hand = await loudspeakerHand(own, { platform: 'linux', path, bell });
  onTestFinished(() => hand.close());
  return hand;
}

function folderOf() {
  const folder = tempFolder();
  onTestFinished(folder.remove);
  return folder.path;
}

describe('the loudspeaker', () => {
  it('plays the tone of the priority and step through the player on the PATH', async () => {
    const folder = folderOf();
    const log = playerIn(folder, 'aplay');
    const hand = await handIn(`/nowhere:${folder}`);
    expect(hand.standing()).toMatchObject({ armed: true });
    expect(await hand.send(messageOf('raised', callOf('falling'), 3), nothing)).toMatchObject({
      reached: true,
    });
    expect(readFileSync(log, 'utf8')).toMatch(/^-q \S+come-now-3\.wav\n$/);
    expect(readFileSync(`${log}.wav`).equals(toneWav('come-now', 3))).toBe(true);
  });

  it('that fails says why', async () => {
    const folder = folderOf();
    playerIn(folder, 'paplay', 1, 'Connection refused');
    const sent = await (await handIn(folder)).send(messageOf('raised'), nothing);
    expect(sent).toMatchObject({ reached: false, text: expect.stringContaining('Connection refused') });
  });

  it('goes through the program that the user has named', async () => {
    const folder = folderOf();
    playerIn(folder, 'aplay');
    const log = playerIn(folder, 'horn');
    const hand = await handIn(folder, ['horn', '--loud']);
    await hand.send(messageOf('test', null), nothing);
    expect(readFileSync(log, 'utf8')).toMatch(/^--loud /);
  });

  it('without any player says so, and rings the bell of the terminal where there is one', async () => {
    let rung = 0;
    const mute = await handIn(folderOf());
    expect(mute.standing()).toMatchObject({
      armed: false,
      why: expect.stringContaining('no program that plays a tone'),
    });
    expect(await mute.send(messageOf('raised'), nothing)).toMatchObject({ reached: false });
    const belled = await handIn(folderOf(), null, () => {
      rung += 1;
    });
    expect(await belled.send(messageOf('raised'), nothing)).toMatchObject({ reached: true });
    expect(rung).toBe(1);
  });

  it('takes its tones away when it is closed', async () => {
    const folder = folderOf();
    const log = playerIn(folder, 'aplay');
    const hand = await handIn(folder);
    await hand.send(messageOf('raised'), nothing);
    await hand.close();
    const played = readFileSync(log, 'utf8').trim().split(' ').at(-1) ?? '';
    expect(existsSync(played)).toBe(false);
  });
});
