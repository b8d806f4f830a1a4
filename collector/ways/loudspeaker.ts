/** The collector's own loudspeaker: its tones through the player that the system has, else the terminal's bell. */
import { spawn } from 'node:child_process';
import { constants } from 'node:fs';
import { access, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import type { CallStep } from '../../protocol/alert-calls.ts';
import type { AlertPriority } from '../../protocol/alert-names.ts';
import { type Hand, type Sent, whyOf } from './hand.ts';
import { toneWav } from './tones.ts';

/** A program, and its arguments before the file. */
export type Player = [string, ...string[]];

/** The file comes last, and in the environment: what PowerShell is handed behind its command it takes for more of it. */
const PLAYERS: Partial<Record<NodeJS.Platform, Player[]>> = {
  linux: [['pw-play'], ['paplay'], ['aplay', '-q']],
  darwin: [['afplay']],
  win32: [
    [
      'powershell.exe',
      '-NoProfile',
      '-Command',
      '(New-Object Media.SoundPlayer $env:SPYHOLE_TONE).PlaySync() #',
    ],
  ],
};
const WITHIN_MS = 20_000;

interface Surroundings {
  platform: NodeJS.Platform;
  path: string;
  /** Rings the terminal's bell; null where there is no terminal. */
  bell: (() => void) | null;
}

function here(): Surroundings {
  const bell = () => process.stderr.write('\u0007');
  return {
    platform: process.platform,
    path: process.env.PATH ?? '',
    bell: process.stderr.isTTY ? bell : null,
  };
}

/** Makes the tones and looks for a player; `own` is the one that the user has named. Never rejects. */
export async function loudspeakerHand(
  own: Player | null = null,
  { platform, path, bell }: Surroundings = here(),
): Promise<Hand> {
  const players = own === null ? (PLAYERS[platform] ?? []) : [own];
  const player = await firstOnPath(players, path);
  const folder = player && (await mkdtemp(join(tmpdir(), 'spyhole-tones-')).catch(() => null));
  const files = new Map<string, string>();
  let playing = false;

  async function fileOf(priority: AlertPriority, step: CallStep): Promise<string> {
    const name = `${priority}-${step}.wav`;
    const known = files.get(name);
    if (known !== undefined) return known;
    const file = join(folder ?? tmpdir(), name);
    await writeFile(file, toneWav(priority, step));
    files.set(name, file);
    return file;
  }

  async function sound(priority: AlertPriority, step: CallStep): Promise<Sent> {
    if (!player || folder === null) return ring(bell, players);
    if (playing) return { reached: true, text: 'It sounds already.' };
    playing = true;
    try {
      const trouble = await run(player, await fileOf(priority, step));
      return trouble === null
        ? {
            reached: true,
            text: `${player[0]} has played it. Whether the loudspeaker is turned up, only ears can tell.`,
          }
        : { reached: false, text: `${player[0]} could not play it: ${trouble}.` };
    } catch (cause) {
      return { reached: false, text: `The tone could not be played: ${whyOf(cause)}.` };
    } finally {
      playing = false;
    }
  }

  return {
    way: 'loudspeaker',
    standing: () => {
      if (player && folder !== null) return { armed: true, why: `This computer calls through ${player[0]}.` };
      return bell === null
        ? { armed: false, why: noPlayer(players) }
        : { armed: true, why: `${noPlayer(players)} Only the terminal's bell is left.` };
    },
    send: ({ call, step }) => sound(call?.priority ?? 'look-soon', step),
    async close() {
      if (folder) await rm(folder, { recursive: true, force: true });
    },
  };
}

function noPlayer(players: readonly Player[]): string {
  const names = players.map(([program]) => program);
  return names.length === 0
    ? 'No program that plays a tone is known for this system: name one in ways.json.'
    : `This computer has no program that plays a tone (${names.join(', ')}).`;
}

function ring(bell: (() => void) | null, players: readonly Player[]): Sent {
  if (bell === null) return { reached: false, text: noPlayer(players) };
  bell();
  return { reached: true, text: "The terminal's bell was rung. Many terminals are mute: listen." };
}

async function firstOnPath(players: readonly Player[], path: string): Promise<Player | null> {
  for (const player of players)
    for (const folder of path.split(delimiter)) {
      const found = await access(join(folder, player[0]), constants.X_OK).then(
        () => true,
        () => false,
      );
      if (found && folder !== '') return [join(folder, player[0]), ...player.slice(1)];
    }
  return null;
}

/** Null if it went well, else why not. */
function run([program, ...args]: Player, file: string): Promise<string | null> {
  return new Promise((resolve) => {
    const child = spawn(program, [...args, file], {
      stdio: ['ignore', 'ignore', 'pipe'],
      timeout: WITHIN_MS,
      env: { ...process.env, SPYHOLE_TONE: file },
    });
    let said = '';
    child.stderr.on('data', (chunk) => {
      said = `${said}${chunk}`.slice(0, 500);
    });
    child.on('error', (cause) => resolve(whyOf(cause)));
    child.on('close', (code) => {
      const line = said.trim().split('\n')[0] ?? '';
      resolve(code === 0 ? null : line === '' ? `it ended with ${code ?? 'a signal'}` : line);
    });
  });
}
