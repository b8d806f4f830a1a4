/** Puts the user's ways together: from ways.json and what this computer has, to hands. */
import { setTimeout as sleep } from 'node:timers/promises';
import type { WaysHands, WaysParts } from './desk.ts';
import { loudspeakerHand } from './loudspeaker.ts';
import { mailHand } from './mail.ts';
import { mqttHand } from './mqtt.ts';
import { pushHand } from './push.ts';
import { openPushStore } from './push-store.ts';
import type { WaysSettings } from './settings.ts';
import { webhookHand } from './webhook.ts';

export interface WaysWish {
  settings: WaysSettings;
  /** ways.json, as the user is told of it; and where push keeps its keys. */
  settingsPath: string;
  pushPath: string;
  /** A real kiln: only for one does this computer sound without being told to. */
  real: boolean;
  /** The page is served over HTTPS: without it no phone can ask for push. */
  secure: boolean;
  say: (text: string) => void;
  /** Where a kiln's page is, with a slash at the end. */
  pathOf?: (kiln: string) => string;
}

/** Whom a push service may write to, where the user has named nobody; an address that is nobody's (RFC 2606). */
const NO_CONTACT = 'mailto:potter@example.org';

/** Never rejects: a way that cannot be had is left out, and `whyNot` says why. */
export async function openWays(wish: WaysWish): Promise<Pick<WaysParts, 'hands' | 'whyNot'>> {
  const { settings, settingsPath, say } = wish;
  const { webhook, mqtt, mail, loudspeaker, push } = settings;
  const sounds = loudspeaker?.on ?? wish.real;
  const hands: WaysHands = {
    webhook:
      webhook &&
      webhookHand(webhook, {
        now: Date.now,
        random: Math.random,
        sleep: (ms, signal) => sleep(ms, undefined, { signal }),
      }),
    mqtt: mqtt && mqttHand(mqtt),
    mail: mail && mailHand(mail),
    loudspeaker: sounds ? await loudspeakerHand(loudspeaker?.player ?? null) : undefined,
    push: wish.secure
      ? pushHand({
          store: await openPushStore(wish.pushPath, say),
          contact: push?.contact ?? NO_CONTACT,
          ...(wish.pathOf ? { pathOf: wish.pathOf } : {}),
        })
      : undefined,
  };
  const notSet = (what: string) => `No ${what} is set: name one in ${settingsPath}.`;
  return {
    hands,
    whyNot: {
      webhook: notSet('webhook'),
      mqtt: notSet('MQTT broker'),
      mail: notSet('mail server'),
      loudspeaker: wish.real
        ? `It is turned off in ${settingsPath}.`
        : `A demo or a played capture does not sound over this computer, unless ${settingsPath} says so.`,
      push: 'Push needs the page over HTTPS: start the collector with --lan --https.',
    },
  };
}
