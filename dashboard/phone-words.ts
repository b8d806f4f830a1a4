/** Words about the phone at the woodpile: what it keeps, what wakes it, and what its browser does not let it. */
export const PHONE = {
  knownAt: (clock: string) => `Not connected: this is what was known at ${clock}. Go by your cones.`,
  keepsPage: "This page opens without the kiln's computer too, and shows what was known last.",
  keepsOpen:
    "This page came without encryption. It keeps its curve while it stays open, but the browser opens it again only while the kiln's computer is reached.",
  toSecure: 'Open it over HTTPS',

  lockedIsMute: 'If you lock this phone it will not wake you. Keep this page open and the screen on.',
  lockedIsPushed:
    "If you lock this phone it is called by push, as long as it and the kiln's computer have the internet.",

  push: 'Push to this phone',
  pushOn: 'Push to this phone: on',
  noPush: 'No push to this phone',
  pushAsking: 'Asking the browser …',
  pushNotSecure: 'Push to this phone needs the page over HTTPS.',
  pushNotOffered: "The kiln's computer offers no push: start Spyhole with --lan --https.",
  pushDenied:
    "This browser was told not to let this page call. Allow notifications for it in the browser's settings (the sign beside the address), then press again.",
  pushAddToHome:
    'On an iPhone or iPad push works from the home screen alone: tap Share, then Add to Home Screen, and open Spyhole from there.',
  pushCannot: 'This browser has no push. Another one on this phone may.',
  pushFailed: (text: string) => `Push was not turned on: ${text}`,
  pushNoInternet: "the browser's push service was not reached. It needs the internet on this phone.",

  screen: 'Screen',
  keepOn: 'Keep the screen on',
  keepLit: 'Keep it lit',
  goesDark: 'screen goes dark',
  screenStaysOn: 'The screen stays on while this page is in front.',
  screenLost:
    'The screen may go dark: the browser has let go of it. Press again, and look at the battery saver.',
  screenNotSecure:
    "The browser keeps the screen on over HTTPS only. Set the phone's own time until it goes dark as long as it will go: Settings, Display.",
  screenCannot:
    "This browser does not keep the screen on. Set the phone's own time until it goes dark as long as it will go: Settings, Display.",

  lockedOrAway: (name: string) => `${name}: locked or away, called by push`,
} as const;

/** What the worker says by itself: it has no page to say it on. */
export const CALLED = {
  heard: 'Heard',
  notAnswered: 'Not answered',
  notReached: "The kiln's computer is not reached from here. Open the page in its network, or go and look.",
  unread: 'Spyhole calls, and this phone could not read why: open the page.',
} as const;
