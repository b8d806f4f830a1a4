/** Why a board cannot be reached over Bluetooth low energy, and what to do about it, each in one sentence. */
import type { GattTarget, GattTrouble } from './gatt.ts';

const AGAIN = 'Spyhole goes on by itself';

/** What to do where the system does not let a program use Bluetooth. */
function forbidden(platform: string): string {
  if (platform === 'darwin')
    return 'This terminal may not use Bluetooth: allow it in System Settings, Privacy & Security, Bluetooth, and start it anew.';
  if (platform === 'win32') return 'Spyhole may not use Bluetooth: allow it in Settings, Privacy, Radios.';
  return 'You may not use Bluetooth: add yourself to the group bluetooth: sudo usermod -a -G bluetooth NAME, then log out and in again.';
}

/** The sentence for a board that was not reached. */
export function gattTrouble(
  { device, service, notify, write }: GattTarget,
  why: GattTrouble,
  detail: string,
  platform: string = process.platform,
): string {
  switch (why) {
    case 'no-adapter':
      return `This computer has no Bluetooth that Spyhole can use: plug in an adapter that does low energy, and ${AGAIN}.`;
    case 'switched-off':
      return `Bluetooth is switched off on this computer: switch it on, and ${AGAIN}.`;
    case 'forbidden':
      return forbidden(platform);
    case 'not-heard':
      return `Nothing called ${device} is heard over Bluetooth: switch the board on, or bring it nearer, and ${AGAIN}.`;
    case 'no-service':
      return `${device} does not offer the service ${service}: give its own with --ble-service.`;
    case 'no-notify':
      return `${device} has nothing to listen to at ${notify}: give its own with --ble-notify.`;
    case 'no-write':
      return `${device} has nothing to write to at ${write}: give its own with --ble-write.`;
    case 'failed':
      return `${device} was heard but not reached (${detail.replace(/[\s.]+$/, '')}): bring it nearer, or switch it off and on.`;
  }
}
