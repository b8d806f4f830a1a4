/** `spyhole ways`: which ways there are to reach a person, and `spyhole ways test NAME`: whether one does. */
import { WAYS, type Way } from '../../protocol/ways.ts';
import type { WaysHands } from '../ways/desk.ts';
import { openWays } from '../ways/open.ts';
import { readWaysSettings } from '../ways/settings.ts';
import { pushFile, waysFile } from './user-folders.ts';

/** MQTT connects in the background: it is given so long before it is said how it stands. */
const SETTLE_MS = 1500;

type Handed = Exclude<Way, 'page' | 'lamp'>;

const isHanded = (way: Way): way is Handed => way !== 'page' && way !== 'lamp';

async function withHands(use: (hands: WaysHands, whyNot: Record<Handed, string>) => Promise<number>) {
  const { hands, whyNot } = await openWays({
    settings: await readWaysSettings(waysFile()),
    settingsPath: waysFile(),
    pushPath: pushFile(),
    real: true,
    secure: true,
    say: (text) => process.stderr.write(`${text}\n`),
  });
  try {
    return await use(hands, whyNot);
  } finally {
    await Promise.all(Object.values(hands).map((hand) => hand?.close()));
  }
}

/** Exit status 0. Throws with one sentence where ways.json does not hold. */
export function waysCommand(): Promise<number> {
  return withHands(async (hands, whyNot) => {
    if (hands.mqtt) await new Promise((resolve) => setTimeout(resolve, SETTLE_MS));
    process.stdout.write(`Settings: ${waysFile()}\n`);
    for (const way of WAYS.filter(isHanded)) {
      const { armed, why } = hands[way]?.standing() ?? { armed: false, why: whyNot[way] };
      process.stdout.write(`${way.padEnd(12)} ${armed ? 'armed' : '-    '}  ${why}\n`);
    }
    process.stdout.write('page and lamp follow the collector while it runs; try them from the page.\n');
    return 0;
  });
}

/** Exit status 0 if it was reached, 1 if not. Throws with one sentence where there is no such way. */
export async function tryWayCommand(name: string): Promise<number> {
  const way = WAYS.filter(isHanded).find((each) => each === name);
  if (way === undefined)
    throw new Error(`There is no way ${name} to try here: it is one of ${WAYS.filter(isHanded).join(', ')}.`);
  return withHands(async (hands, whyNot) => {
    const hand = hands[way];
    if (hand && way === 'mqtt') await new Promise((resolve) => setTimeout(resolve, SETTLE_MS));
    const message = { event: 'test', kiln: 'the kiln', step: 1, call: null } as const;
    const { reached, text } = hand
      ? await hand.send(message, () => undefined)
      : { reached: false, text: whyNot[way] };
    process.stdout.write(`${text}\n`);
    return reached ? 0 : 1;
  });
}
