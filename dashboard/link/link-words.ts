/** Words of the page that reads the board for the kiln's computer. */
export const LINK = {
  title: 'Read the board here',
  back: 'Back to the kiln',
  what: "This browser can take the place of a cable to the kiln's computer: plug the board in here, or stand within its Bluetooth, and this page hands its lines on.",
  asking: "Asking the kiln's computer …",
  notSecure: 'A browser reads a board over HTTPS only.',
  cannot:
    'This browser reads no boards: it has neither Web Serial nor Web Bluetooth. One on a laptop, or on an Android phone, may.',
  noUuids:
    "For Bluetooth the kiln's computer must know the board's UUIDs: start it with --ble-service, --ble-notify and --ble-write.",
  held: (by: string) => `The board is read by ${by} now.`,
  serial: 'Choose its cable',
  bluetooth: 'Choose it by Bluetooth',
  letGo: 'Let go of the board',
  keepOpen:
    'Keep this page open, and this computer or phone awake. You may look at the other pages here meanwhile.',
  opening: 'Opening the port …',
  open: 'The port is open.',
  lost: 'The board is not reached. Trying again by itself.',
  calling: "Calling the kiln's computer. What the board says meanwhile is asked for afterwards.",
  heard: (kilobytes: string, ago: string) => `${kilobytes} kB read, the last ${ago} ago.`,
  nothing: 'Nothing has come from it yet.',
  trouble: (text: string) => `It did not open: ${text}`,
  unplugged: (who: string) => `The board was unplugged from ${who}: check its cable.`,
  outOfReach: (who: string) => `The board is out of reach of ${who}: bring it nearer, or look at its supply.`,
  gone: 'the board is not there',
  readsHere: 'This browser reads the board.',
} as const;
