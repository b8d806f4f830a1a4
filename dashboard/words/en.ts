/**
 * Every word on the page, in English: data, and so longer than a file of code may be. One exported section a subject. Short,
 * calm, the trade's own words; read each aloud before you change it. Every other language is typed as this one.
 */
import { HEAT_COLOURS } from '../../collector/core/heat-work/incandescence.ts';
import type { DrawsSay } from '../../collector/core/salting-facts.ts';
import type { AlertPriority } from '../../protocol/alert-names.ts';
import type { LinkStanding } from '../../protocol/live-messages.ts';
import type { Plan } from '../../protocol/plan.ts';
import type { BLUSHES, FAULTS } from '../../protocol/results.ts';
import type { Stage } from '../../protocol/stages.ts';
import type { Way } from '../../protocol/ways.ts';
import type { Standing } from '../state.ts';
import { countIn, type LanguageFacts } from './language-facts.ts';

const count = countIn('en');
const NBSP = '\u00a0';

export const LANGUAGE: LanguageFacts = { name: 'English', tag: 'en-GB', dir: 'ltr' };

/** Spans and rates, as people say them at a kiln. */
export const TIME = {
  seconds: (n: number) => `${n}${NBSP}${count(n, { one: 'second', other: 'seconds' })}`,
  minutes: (n: number) => `${n}${NBSP}${count(n, { one: 'minute', other: 'minutes' })}`,
  hours: (n: number) => `${n}${NBSP}${count(n, { one: 'hour', other: 'hours' })}`,
  days: (n: number) => `${n}${NBSP}${count(n, { one: 'day', other: 'days' })}`,
  shortSeconds: (n: number) => `${n}${NBSP}s`,
  shortMinutes: (n: number) => `${n}${NBSP}min`,
  shortHours: (hours: number, minutes: string) => `${hours}${NBSP}h${NBSP}${minutes}`,
  shortDays: (days: number, hours: number) =>
    `${days}${NBSP}${count(days, { one: 'day', other: 'days' })}${NBSP}${hours}${NBSP}h`,
  axisDays: (days: number, hours: number) => `${days}${NBSP}d${NBSP}${hours}${NBSP}h`,
  aMinute: 'a minute',
  anHour: 'an hour',
  aDay: 'a day',
  /** Whole ones and a quarter more: `1½`. */
  roughHours: (hours: string) => `${hours} hours`,
  roughMinutes: (minutes: number) => `${minutes} minutes`,
  roughDays: (days: number) => `${days} days`,
  about: (rough: string) => `about ${rough}`,
  fromTo: (low: number, high: number, unit: 'minutes' | 'hours' | 'days') => `${low} to ${high} ${unit}`,
  upTo: (high: number, unit: 'minutes' | 'hours' | 'days') => `up to ${high} ${unit}`,
  in: (clock: string) => `${clock}${NBSP}in`,
  daysIn: (span: string) => `${span} in`,
  perHour: (rate: string) => `${rate} an hour`,
};

/** Units that are words. */
export const UNITS = { minutes: 'minutes', millionBtu: 'million Btu' };

export const STAGE_WORDS: Record<Stage, string> = {
  before: 'not lit yet',
  candling: 'candling',
  climbing: 'climbing',
  hold: 'holding',
  salting: 'salting',
  soak: 'soaking',
  cooling: 'cooling',
  open: 'open',
};

export const PRIORITY_WORDS: Record<AlertPriority, string> = {
  'come-now': 'Come now',
  'look-soon': 'Look soon',
  note: 'Good to know',
};

export const LINK_WORDS: Record<LinkStanding['state'], string> = {
  connecting: 'looking for the board',
  open: 'the board is heard',
  silent: 'the board says nothing',
  unplugged: 'the board is unplugged',
  finished: 'played to its end',
};

export const STANDING_WORDS: Record<Standing, string> = {
  connecting: "Calling the kiln's computer.",
  open: "The kiln's computer is heard.",
  lost: "The kiln's computer is not heard. Trying again by itself.",
  'old-page': 'This page is old: load it again.',
};

export const WAY_WORDS: Record<Way, string> = {
  page: 'Pages that are open',
  lamp: "The board's lamp and buzzer",
  push: 'Push to phones',
  loudspeaker: "The kiln computer's loudspeaker",
  mail: 'E-mail',
  webhook: 'Webhook',
  mqtt: 'MQTT broker',
};

/** The live page, and what all pages share. */
export const SAY = {
  // The sentence
  noCollector: (span: string) => `No word from the kiln's computer for ${span}.`,
  noCollectorYet: "Calling the kiln's computer.",
  figuresAreOld: 'The figures here are old: go by your cones.',
  noBoard: (span: string) => `No word from the board for ${span}.`,
  noBoardYet: 'No reading from the board yet.',
  loadAgain: 'This page is old: load it again.',
  noCouple: 'No couple in the kiln: go by cones and draws.',
  noFigure: 'The probes give no temperature.',
  notLit: (temp: string) => `Not lit yet. The kiln stands at ${temp}.`,
  climbing: (rate: string) => `Climbing ${rate} an hour.`,
  falling: (rate: string) => `Falling ${rate} an hour.`,
  still: 'Standing still.',
  climbUnknown: 'The climb is not known yet.',
  candling: 'Candling.',
  holdingFor: (span: string) => `Holding for ${span} now.`,
  saltingHeatIn: (about: string) => `Salting heat in ${about}.`,
  saltingHeatNotBefore: (span: string) => `Salting heat in over ${span}.`,
  saltingHeatUnknown: 'Salting heat: too soon to say.',
  saltingHeatNow: 'It is at salting heat.',
  saltingHeatNear: 'Salting heat is near.',
  saltCount: (inSalt: string, toGo: string) => `Salting: ${inSalt} in, ${toGo} to go.`,
  saltAllIn: (inSalt: string) => `Salting: all ${inSalt} is in.`,
  soaking: (span: string) => `Soaking for ${span} now.`,
  cooling: (rate: string) => `Cooling ${rate} an hour.`,
  coolingSlowly: 'Cooling slowly.',
  unbrickIn: (about: string, when: string | null, range: string | null) =>
    `May be unbricked in ${about}${when === null ? '' : `, ${when}`}${range === null ? '' : ` (${range})`}.`,
  inAbout: (about: string, range: string | null) => `in ${about}${range === null ? '' : ` (${range})`}`,
  inOver: (span: string) => `in over ${span}`,
  nextStage: (stage: string, when: string) => `${stage} ${when}`,
  keepShut: (temp: string) => `Keep it shut until every probe is below ${temp}.`,
  open: (temp: string) => `The kiln is open, at ${temp} inside.`,
  openNoFigure: 'The kiln is open.',
  demo: (rate: string) => `This is a demo kiln, running ${rate} times as fast as a real one.`,
  demoAtOnce: 'This is a demo kiln.',
  capture: (rate: string) => `This is a capture being played, ${rate} times as fast as it was.`,
  captureAtOnce: 'This is a capture being played, not a kiln.',
  pastFiring: (name: string) => `This is a past firing: ${name}.`,

  // What an alert says now: its own words are those of the moment when it was raised
  stoodStill: 'The kiln stands still.',
  hardlyClimbs: (rate: string) => `The kiln hardly climbs: ${rate} an hour.`,
  losesHeat: (rate: string) => `The kiln loses heat: ${rate} an hour.`,
  climbsAgain: (rate: string) => `It climbs again: ${rate} an hour.`,
  watchOn: 'Give it two or three stokes to be sure.',
  hotEnough: 'Hot enough for salt.',
  tooCold: 'Too cold for salt.',
  tooHot: (top: string) => `Hotter than planned: the top is ${top}.`,
  coolEnough: 'Cool enough to unbrick.',
  timeToStoke: 'Time to stoke.',
  lastStoke: (span: string) => `The last stoke was ${span} ago.`,

  // The figure
  kiln: 'The kiln',
  kilnLine: 'kiln',
  climbingWord: 'climbing',
  fallingWord: 'going down',
  stillWord: 'standing still',
  noClimbYet: 'climb not known yet',
  giveOrTake: (rate: string) => `Climb give or take ${rate} an hour.`,
  readAgo: (age: string) => `read ${age} ago`,
  readJustNow: 'read just now',
  oldReading: (age: string) => `OLD: read ${age} ago`,
  noReading: 'no reading yet',
  glow: (colour: string) => `Through the spyhole: ${colour}.`,
  noGlow: 'Too cool to glow.',
  stage: 'Stage',
  cones: 'Heat work, cone',
  coneOf: (cone: string) => `cone ${cone}`,
  coneShifted: (cones: string) => `${cones} by the cone seen`,
  coneRange: (low: string, high: string) => `${low} to ${high}`,
  firingTo: (cone: string, when: string | null) =>
    `firing to cone ${cone}${when === null ? '' : `, ${when}`}`,
  toSalting: 'To salting heat',
  toSaltingAtLeast: (low: string) => `more than ${low}`,
  nextStoke: 'Next stoke',
  stokeNow: 'now: the heat has peaked',
  stokeAnyMoment: 'any moment',
  stokeIn: (about: string) => `in ${about}`,
  aStokeBrings: 'A stoke brings',
  byHole: (left: string, right: string) => `left ${left}, right ${right}`,
  lessThanBefore: 'less than before',
  moreThanBefore: 'more than before',
  moreBringsLess: 'more wood brings less: it may be choking',
  wood: 'Wood',
  stokesIn: (n: number) => `${n} ${count(n, { one: 'stoke', other: 'stokes' })}`,
  asSeen: 'as the heat shows them',
  notWeighed: 'not weighed',
  woodIn: (faceCords: string) => `${faceCords} face cords in`,
  woodInLeft: (faceCords: string, left: string) => `${faceCords} face cords in, ${left} left`,
  roughly: (amount: string) => `${amount}, roughly`,
  stack: 'The stack',
  stackLasts: (about: string) => `lasts ${about}`,
  firingNeeds: (about: string) => `the firing needs ${about} more`,
  notYetKnown: 'too soon to say',
  reached: 'reached',
  sinceLit: 'Since light-up',
  saltIn: 'Salt in',
  saltToGo: (salt: string) => `${salt} to go`,
  unbrick: 'Unbrick',
  below: (temp: string) => `below ${temp}`,
  saltPace: 'Salt pace',
  paceAnHour: (salt: string) => `${salt} an hour`,
  peakBefore: 'Peak before salt',
  regained: (peak: string) => `${peak}, regained`,
  notRegained: (peak: string, short: string) => `${peak}, ${short} to go`,

  // The curve
  newest: 'newest',
  saltingHeat: 'salting heat',
  topHeat: 'no hotter',
  rowLeft: 'left',
  rowRight: 'right',
  rowDraws: 'draws',
  litMark: 'lit',
  legendMarks: 'Marks on the curve',
  markStoke: 'stoke',
  markSalt: 'salt',
  markDraw: 'draw ring',
  gapHere: 'no reading',

  // Alerts
  alerts: 'Alerts',
  heard: 'Heard',
  heardOf: (text: string) => `Heard: ${text}`,
  heardAt: (clock: string, who: string | null) => (who ? `heard by ${who} at ${clock}` : `heard at ${clock}`),
  since: (clock: string) => `since ${clock}`,
  nowAt: (first: string) => `At the kiln now: ${first}`,
  otherKilns: 'Other kilns',
  kilnCalled: (kiln: string) => `Kiln ${kiln}`,
  kilnSays: (kiln: string, text: string) => `Kiln ${kiln}: ${text}`,
  soundOff: 'sound is off',
  soundStopped: 'it has stopped',
  letItSound: 'Let it sound',
  silence: 'Keep it quiet',
  tryTheSounds: 'Hear the three calls',

  // Two hands
  hands: 'Stoke and salt',
  leftHole: 'left hole',
  rightHole: 'right hole',
  stoke: 'Stoke',
  salt: 'Salt',
  stokeLabel: (hole: string) => `Stoke, ${hole}`,
  saltLabel: (hole: string, charge: string, next: boolean) =>
    `Salt${next ? ', next' : ''}, ${hole}, ${charge}`,
  next: 'next',
  undo: 'Take back',
  undoOf: (entry: string) => `Take back: ${entry}`,
  written: (entry: string) => `${entry}: written down.`,
  waiting: (n: number) =>
    count(n, {
      one: "One entry waits here until the kiln's computer is heard.",
      other: `${n} entries wait here until the kiln's computer is heard.`,
    }),
  notKept: "This browser keeps nothing: stay on this page until the kiln's computer is heard.",
  otherFiring: (n: number, name: string) =>
    `${n} ${count(n, { one: 'entry', other: 'entries' })} made here for ${name} never reached the kiln's computer.`,
  throwAway: 'Throw them away',
  refused: (text: string) => `Not written down: ${text}`,
  seen: 'All right',

  // At the kiln
  atTheKiln: 'At the kiln',
  lightUp: 'Light-up',
  drawRing: 'Draw ring out',
  drawUnread: 'not read',
  damper: 'Damper',
  charge: 'One charge of salt',
  hold: 'Hold here',
  endHold: 'End the hold',
  holdGroup: 'Hold',
  note: 'A note',
  noteLabel: 'What you saw or did',
  writeDown: 'Write it down',
  conesSeen: 'Cones seen',
  cone: 'Cone',
  conePlace: 'Where',
  anywhere: 'not said',
  bending: 'Bending',
  down: 'Down',
  coneInSalt: 'Cones in salt read about half a cone off.',
  fire: 'The fire looks',
  couples: 'Couples',
  pull: (probe: string) => `Pull ${probe}`,
  putBack: (probe: string) => `Put ${probe} back`,
  steps: 'The big steps',
  holdDown: 'hold it down for a second',
  keepHolding: 'keep holding …',
  pressAgain: 'Press once more to be sure',
  endSalt: 'Salt is done',
  clamUp: 'Clam-up',
  unbricked: 'Unbricked',
  who: 'Who is at the kiln',

  // Probes
  ground: 'Where the probes stand',
  groundHelp: 'Seen from above. Front is at the bottom.',
  back: 'back',
  front: 'front',
  placeOf: (probe: string) => `Place of ${probe}`,
  arrange: 'Arrange',
  arranged: 'Done',
  pulled: 'pulled',
  silentFor: (span: string) => `silent for ${span}`,
  noTemp: 'no figure',
  couple: (letter: string) => `type ${letter}`,

  // Log book
  log: 'Log book',
  logEmpty: 'Nothing written down yet.',
  showAll: (n: number) => `Show all ${n}`,
  showFewer: 'Show fewer',
  onItsWay: 'on its way',
  takenBack: 'taken back',
  by: (who: string) => `by ${who}`,

  // How one is called
  somePhone: 'a phone without a name',
  calls: 'How you are called',
  hereArmed: 'This page: it may sound.',
  hereMute: 'This page: mute. Tap Let it sound.',
  tryIt: 'Try it',
  tryWay: (way: string) => `${way}: Try it`,
  wayReached: (text: string) => `Reached. ${text}`,
  wayNotReached: (text: string) => `Not reached. ${text}`,
  silentPhone: (name: string) => `${name}: not heard any more`,
  heardPhone: (name: string) => `${name}: heard`,
  armed: 'armed',
  notArmed: 'not armed',

  spyhole: 'Spyhole',
  pages: 'Pages',
  pagesOfTheHour: 'What is at hand',
  now: 'Now',

  // Past firings
  past: 'Past firings',
  pastShort: 'Past',
  pastEmpty: 'No firing has been kept yet.',
  pastLoading: 'Fetching …',
  pastFailed: 'The past firings could not be fetched. Is Spyhole running at the kiln?',
  firingFailed: 'This firing could not be fetched. Is Spyhole running at the kiln?',
  tryAgain: 'Try again',
  running: 'still going',
  top: (temp: string) => `top ${temp}`,
  tookHours: (span: string) => `took ${span}`,
  notDated: 'no reading',
  watchAgain: (what: string) => `${what}. Watch it again`,
  play: 'Play',
  pause: 'Stop here',
  speed: 'Speed',
  times: (n: number) => `${n} ×`,
  moment: 'Moment of the firing',
  backToList: 'All past firings',
  backToFiring: 'Back to the firing',
  nothingRecorded: 'Nothing was recorded in this firing.',

  // This page
  thisPage: 'This page',
  degrees: 'Degrees',
  fahrenheit: '°F and pounds',
  celsius: '°C and kilos',
  language: 'Language',
  look: 'Look',
  day: 'Day',
  night: 'Night',
  byItself: 'By itself',
  sound: 'Sound',
  badLines: (n: number) => `${n} ${count(n, { one: 'line', other: 'lines' })} could not be read`,
  garbled: (n: number) =>
    `${count(n, { one: 'One message', other: `${n} messages` })} from the kiln's computer could not be read: load the page again if this goes on.`,
  load: 'Load again',
};

export const CURVE = {
  title: 'The curve',
  whole: 'Whole',
  last4h: '4 hours',
  last1h: '1 hour',
  wholeLabel: 'Show the whole firing',
  last4hLabel: 'Show the last 4 hours',
  last1hLabel: 'Show the last 1 hour',
  earlier: 'Earlier',
  closer: 'Closer',
  wider: 'Wider',
  later: 'Later',
  moves: 'Which stretch of the curve is shown',
  help: 'Touch the curve, or use the arrow keys on it, to read it at one moment. Two fingers bring it closer; so do the plus and minus keys.',
  label: 'Curve of the kiln and its probes over time. The arrow keys read it moment by moment.',
  empty: 'The curve begins with the first reading.',
  lineSwitch: (name: string, value: string, off: boolean) =>
    `${name} ${value}: ${off ? 'show its line' : 'take its line away'}`,
  off: 'line is off',
  climb: (unit: 'C' | 'F') => `Climb, °${unit} an hour`,
  climbHelp:
    'Soft band: where the climb lies, nine times in ten. Shaded: the climbs that the plan allows at that heat. Dotted: its target.',
};

/** The phone at the woodpile: what it keeps, what wakes it, and what its browser does not let it. */
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
};

/** What the worker says by itself: it has no page to say it on. */
export const CALLED = {
  heard: 'Heard',
  notAnswered: 'Not answered',
  notReached: "The kiln's computer is not reached from here. Open the page in its network, or go and look.",
  unread: 'Spyhole calls, and this phone could not read why: open the page.',
};

/** An entry as the log book shows it, and the presses that make one. */
export const ENTRY = {
  quiet: 'A call put aside for a while',
  callsAgain: 'A call may call again',
  lit: 'Lit',
  stoked: (hole: string) => `Stoked${hole && ` ${hole}`}`,
  salted: (hole: string, charge: string) => `Salt${hole && ` ${hole}`}${charge && `, ${charge}`}`,
  endSalt: 'Salt is done',
  damperMoved: 'Damper moved',
  damper: (step: string) => `Damper ${step}`,
  damperPart: (percent: number) => `Damper ${percent} % open`,
  coneBending: (cone: string, probe: string) => `Cone ${cone} bending${probe && ` at ${probe}`}`,
  coneDown: (cone: string, probe: string) => `Cone ${cone} down${probe && ` at ${probe}`}`,
  draw: (read: readonly string[]) => ['Draw ring out', ...read].join(', '),
  howMuchWood: 'Wood at one stoke',
  usual: 'the usual',
  usualIs: (wood: string) => `the usual, ${wood}`,
  ringMore: 'On that ring',
  orangePeel: 'orange peel',
  ringColour: 'Colour',
  ringNote: 'What else is seen on it',
  atmosphere: (seen: string) => `The fire looks ${seen}`,
  weather: 'Weather',
  pulled: (probe: string) => `Pulled ${probe}`,
  putBack: (probe: string) => `Put ${probe} back`,
  holdOn: 'Hold begun',
  holdOff: 'Hold ended',
  clamUp: 'Clam-up',
  unbricked: 'Unbricked',
  plan: 'The plan was changed',
};

/** The log book's lines: where they were made, and how they are mended. */
export const BOOK = {
  show: 'Show',
  nothingOfIt: 'Nothing of that kind yet.',
  here: 'on this phone',
  onPhone: (code: string) => `on phone ${code}`,
  atButton: "at the board's button",
  byItself: 'by Spyhole itself',
  writtenAt: (when: string) => `written down ${when}`,
  mended: 'mended',
  mendedFrom: (when: string) => `mended, was ${when}`,
  mendOf: (words: string, when: string) => `${words}, ${when}: mend or take back`,
  mendTime: 'When it was',
  minutes: (minutes: number) => `${minutes > 0 ? '+' : '−'}${Math.abs(minutes)} min`,
  willBe: (when: string) => `Write down ${when}`,
};

export const SALTING = {
  title: 'Salting',
  toSalting: 'To the salting page',
  backToNow: 'The whole kiln',
  noFiring: "The kiln's computer has not been heard yet.",
  go: 'Go on.',
  begin: 'Hot enough: begin.',
  beginMore: 'Small charges, both holes in turn. A ring after the first salting.',
  notYet: 'Not hot enough yet.',
  unknown: 'No temperature: go by cones and draws.',
  small: 'Small charges only.',
  wait: 'Wait for the heat.',
  cold: 'Wait: too cold for salt.',
  hot: 'Wait: too hot.',
  allIn: 'All the planned salt is in.',
  over: 'Salting is over.',
  next: (hole: string) => `Next: the ${hole}.`,
  belowPeak: (short: string) => `${short} below the peak before the last salt.`,
  stokeFirst: (short: string) => `${short} below the peak before the last salt. Stoke first.`,
  againNear: (start: string) => `Stoke, and salt again near ${start}.`,
  above: (top: string) => `The plan's top is ${top}.`,
  byRings: 'Go by the draw rings.',
  saltIn: 'Salt in',
  toGo: (salt: string) => `${salt} to go`,
  moreThanPlanned: 'as planned, or more',
  since: 'Since the last',
  noneYet: 'none yet',
  sinceMore: (charges: number) => `${charges} ${count(charges, { one: 'charge', other: 'charges' })} so far`,
  nextHole: 'Next hole',
  left: '← Left',
  right: 'Right →',
  either: 'either',
  byHole: (left: string, right: string) => `left ${left}, right ${right}`,
  heat: 'Heat',
  noHeat: 'not known',
  dip: (peak: string, dip: string) => `peak ${peak}, dipped ${dip}`,
  noPeak: 'no salt yet',
  pace: 'Pace',
  paceAnHour: (salt: string) => `${salt} an hour`,
  planned: (salt: string) => `planned: ${salt} in about an hour`,
  doneIn: 'The rest takes',
  atThisPace: 'at this pace',
  rings: 'Draw rings',
  ringsOut: (pulled: number, of: number) => `${pulled} out, of ${of} planned by the salt.`,
  ringDue: (ring: number) => `Ring ${ring} is due now.`,
  ringNext: (salt: string) => `The next one at ${salt} of salt.`,
  say: {
    nothing: 'No ring has been read yet.',
    more: 'The last ring was thin: more salt.',
    nearly: 'The last ring was good: one more to be sure.',
    enough: 'The rings say enough. One more just before the end.',
    'too-much': 'The last ring was heavy: more than enough.',
  } satisfies Record<DrawsSay, string>,
  ringsShow: 'Rings show the build-up, not the final colour. Enough comes mostly at the third.',
  fume: 'The fume',
  fumeMost: (hcl: string, share: string) =>
    `The salt so far can have made ${hcl} of hydrogen chloride at the most (${share} of its weight, by molar mass).`,
};

export const STOKING = {
  title: 'Stoking',
  toStoking: 'To the stoking page',
  noFiring: "The kiln's computer has not been heard yet.",
  now: 'Stoke now.',
  nowMore: 'The heat has peaked and begins to go down.',
  soon: 'Any moment now.',
  soonMore: 'Wait until the heat begins to go down.',
  wait: (about: string) => `Stoke in ${about}.`,
  unknown: 'Stoke when the heat goes down.',
  unknownMore: 'The rhythm is not known yet: three stokes more.',
  notFired: 'The kiln is not being fired.',
  choking: 'More wood brings less: it may be choking. Let it burn down, then smaller stokes.',
  nextHole: (hole: string) => `next: the ${hole}`,
  since: 'Since the last',
  noneYet: 'none yet',
  every: (span: string) => `every ${span}`,
  noRhythm: 'no rhythm yet',
  left: 'Left',
  right: 'Right',
  brings: 'A stoke brings',
  toGo: 'Heat to go',
  toSalting: 'to salting heat',
  enough: 'The wood lasts to the end, if it goes on so.',
  short: 'Too little wood to the end, if it goes on so.',
};

export const PLAN = {
  title: 'Plan and load',
  short: 'Plan',
  intro:
    'What this firing is meant to be. Every figure may be changed while the fire burns: the log book keeps the change.',
  source: 'Where this figure comes from',
  name: 'Name of the firing',
  guide: 'The probe that speaks for the kiln',
  guideMean: 'all of them, their mean',
  heats: 'Heats',
  saltingStart: 'Salting may start at',
  saltingCone: 'or once this cone is down (both, if both are given)',
  top: 'No hotter than',
  firingCone: 'Fire to cone',
  unbrick: 'May be unbricked below',
  climbs: 'Climb',
  climbsHelp:
    'Drawn as bands in the strip under the curve. A target is a mark to steer by; past a limit you are called.',
  targets: 'Climb targets',
  target: 'climb at about',
  limits: 'Climb limits',
  limit: 'no faster than',
  upTo: 'up to',
  stall: 'Standing still: less than',
  coolingBands: 'Slow cooling',
  from: 'from',
  downTo: 'down to',
  holds: 'Holds',
  holdAt: 'hold at',
  holdFor: 'for',
  salting: 'Salt',
  salt: 'Salt to use',
  charge: 'One charge, as you have weighed it',
  charges: (n: string) => `That is ${n} charges.`,
  load: 'Load',
  loadHelp: 'Tap a place, then count up. A kind that was set down once is there at every place.',
  places: 'Places in the kiln',
  placeName: 'Name of this place',
  addPlace: 'Add a place',
  placeNumber: (n: number) => `place ${n}`,
  takePlaceAway: (place: string) => `Take ${place} away`,
  newKind: 'New kind of ware',
  shape: 'Shape',
  clay: 'Clay',
  addKind: 'Add this kind',
  pieces: (n: number) => `${n} ${count(n, { one: 'piece', other: 'pieces' })}`,
  inAll: (pieces: string) => `${pieces} in all.`,
  more: (step: number, what: string) => `${step} more: ${what}`,
  fewer: (step: number, what: string) => `${step} fewer: ${what}`,
  ring: 'draw rings',
  drawRings: 'Draw rings',
  conePacks: 'Cone packs',
  conePack: 'Cone pack here',
  noPack: 'none',
  guideCone: 'guide',
  packFiringCone: 'firing',
  guardCone: 'guard',
  offsets: 'Corrections of probes',
  addRow: 'Add a row',
  takeRowAway: 'Take this row away',
  none: 'none',
  notANumber: 'This wants a number.',
  wrong: (what: string) => `Not kept yet: ${what}`,
  keep: 'Keep this plan',
  nothingChanged: 'Nothing is changed.',
  changes: (n: number) => `${n} ${count(n, { one: 'change', other: 'changes' })}`,
  change: (what: string, now: string, before: string) => `${what}: ${now}, before ${before}`,
  changed: (what: string) => `${what} changed`,
  kept: 'Kept. It stands in the log book.',
  startAgain: 'Back to the plan that stands',
  copy: 'Take over from a past firing',
  copyWhat: 'Which firing',
  copyPlan: 'Its plan',
  copyLoad: 'Its load',
  copyFailed: 'That firing could not be read.',
  copied: (name: string) => `Taken over from ${name}. Look it through, then keep it.`,
  toPlan: 'Plan and load',
  noFiring: 'There is no firing yet: its plan can be made once the collector is heard.',
};

export const RESULTS = {
  title: 'What came out',
  titleOf: (name: string) => `What came out of ${name}`,
  caution:
    'Open only when the kiln is cool enough to touch: brick and ware burn long after they look cold. Wear gloves and eye cover, and a mask against silica dust; local rules come first.',
  good: 'good',
  seconds: 'seconds',
  lost: 'lost',
  allGood: (n: number) => count(n, { one: 'The one left is good', other: `The other ${n} are good` }),
  left: (n: number) => (n === 0 ? 'All looked at.' : `${n} not looked at yet.`),
  loaded: (n: number) => `${n} ${count(n, { one: 'piece', other: 'pieces' })} went in.`,
  share: (percent: number) => `${percent} % good`,
  counts: (good: number, seconds: number, lost: number) =>
    `${good} good, ${seconds} ${count(seconds, { one: 'second', other: 'seconds' })}, ${lost} lost`,
  notCounted: 'nothing looked at yet',
  yields: 'Good, by place',
  back: 'back',
  front: 'front',
  elsewhere: 'Other places',
  faults: 'What was wrong',
  blush: 'Blush',
  colour: 'Colour and glaze',
  notes: 'Notes',
  photos: 'Photos, by file name',
  photosHelp: 'Parted by commas.',
  noWare: 'The plan has no ware at this place. Add a kind to count it.',
  noPlaces: 'The plan of this firing has no places. Name them in the plan, then count here.',
  newKind: 'A kind that is not in the load',
  shape: 'Shape',
  clay: 'Clay',
  addKind: 'Add this kind',
  keep: 'Keep the results',
  keeping: 'Keeping…',
  kept: 'Kept.',
  nothingChanged: 'Nothing is changed.',
  notKept: 'Not kept yet: tap below when you pause.',
  notHeard: 'Spyhole is not heard: what you counted stays on this phone, try again.',
  failed: 'The results could not be fetched.',
  loading: 'Fetching the results…',
};

/** The check before lighting. */
export const CHECK = {
  title: 'The check before lighting',
  toCheck: 'Check the board',
  back: 'Back to the kiln',
  asking: 'Asking how the board stands …',
  none: 'There is no board here that can be checked.',
  noCollector: "The kiln's computer is not heard: what stands here may be old.",
  marks: { mend: 'mend', mind: 'mind', fine: 'good' },
  theBoard: 'the board',
  probes: 'Probes',
  board: 'Board and cable',
  couple: (letter: string) => `type ${letter}`,
  noTemp: 'no figure',
  noise: (size: string) => `noise ${size}`,
  noNoise: 'noise not known yet',
  rose: (size: string) => `up ${size}`,
  fell: (size: string) => `down ${size}`,
  aboutBoard: (board: string, link: string) => (link === '' ? board : `${board}, ${link}`),
  plainBoard: 'A board that just prints numbers',
  keeps: 'Keeps',
  readings: (n: number) => `${n} ${count(n, { one: 'reading', other: 'readings' })}`,
  lines: 'Lines',
  broken: (bad: number, all: number) => `${bad} of ${all} broken`,
  answers: 'Answers in',
  noAnswer: 'no answer yet',
  ms: (ms: number) => `${ms} ms`,
  ownHeat: 'In its box',
  byHand: 'By hand',
  tryCable: 'Try the cable',
  tryCableHelp: 'Shuts the link and opens it again, and sees whether the board remembers.',
  pullHelp: 'Or pull the cable yourself, and plug it in again: it shows here.',
};

/** Usual cautions, where they matter. Figures: OSHA ceilings; molar masses (IUPAC) for the fume; the rest is common practice. */
export const CAUTIONS = {
  title: 'Take care',
  /** In a few words, beside the figure, while they matter most. */
  saltingNow: 'Salt fume holds hydrogen chloride: stay upwind, keep others away, never alone.',
  coolingNow: 'Brick and ware still burn. Cold air let in too soon cracks pots.',
  always: [
    'This tool informs and never controls. Local codes, the fire service and licensed practice come first.',
    'A silent tool is no sign that all is well: look at when the board was last heard.',
  ],
  fire: [
    'Fire outdoors only. The smoke holds carbon monoxide: keep away from air intakes, never sleep in the kiln shed.',
    'Nobody alone and tired at the stoke hole. No synthetic clothes, dry gloves, shaded glasses to look in.',
  ],
  salting: [
    'Salt fume holds hydrogen chloride, up to 0.62 g of it for each gram of salt. Stand upwind, keep others upwind, and keep it from neighbours and air intakes.',
    'Nobody alone. A burning throat or eyes: get out of the fume at once.',
  ],
  opening: [
    'Brick and ware burn long after they stop glowing. Let it cool: cold air let in too soon cracks pots.',
    'The dust when unloading holds silica: wet it, and wear a mask for fine dust.',
  ],
};

/** The damper's places that have a button of their own: shut, quarters, open. */
export const DAMPER_WORDS = {
  shut: 'shut',
  quarter: 'a quarter',
  half: 'half',
  threeQuarters: 'three quarters',
  open: 'open',
};

/** What a press writes down in a fixed English word, so that every phone reads it in its own language. */
export const LOGGED = {
  left: 'left',
  right: 'right',
  thin: 'thin',
  good: 'good',
  heavy: 'heavy',
  oxidising: 'oxidising',
  neutral: 'neutral',
  reducing: 'reducing',
  'still air': 'still air',
  'light wind': 'light wind',
  gusty: 'gusty',
  rain: 'rain',
  snow: 'snow',
  frost: 'frost',
  white: 'white',
  grey: 'grey',
  tan: 'tan',
  brown: 'brown',
  green: 'green',
  blue: 'blue',
};

/** Why a piece is a second or lost. */
export const FAULT_WORDS: Record<(typeof FAULTS)[number], string> = {
  cracked: 'cracked',
  burst: 'burst',
  bloated: 'bloated',
  warped: 'warped',
  slumped: 'slumped',
  stuck: 'stuck',
  dry: 'dry',
  'over-salted': 'over-salted',
  crawled: 'crawled',
  pinholed: 'pinholed',
  shivered: 'shivered',
  chipped: 'chipped',
};

export const BLUSH_WORDS: Record<(typeof BLUSHES)[number], string> = {
  none: 'none',
  some: 'some',
  strong: 'strong',
};

/** The nine places of the ground plan, seen from above: back left to front right. */
export const PLACE_WORDS: readonly string[] = [
  'back left',
  'back',
  'back right',
  'left',
  'middle',
  'right',
  'front left',
  'front',
  'front right',
];

/** The colour of the heat, coolest first: in English the published scale's own words. */
export const GLOW_WORDS: readonly string[] = HEAT_COLOURS.map(({ words }) => words).reverse();

/** What a line of the log book is about. */
export const KIND_WORDS = {
  all: 'all',
  fire: 'fire',
  salt: 'salt and rings',
  cones: 'cones and couples',
  notes: 'notes',
  calls: 'calls',
};

const OWN = 'our own choice';
const CUSTOM = 'common practice, no source';

/** Where each figure of the default plan comes from: shown beside it, so that nobody takes a custom for a law. */
export const PLAN_SOURCES = {
  saltingStartC: CUSTOM,
  saltingStartCone:
    'published diaries differ: cone 6 (kimlpottery.com), as cone 9 begins to bend (clayart, 2018)',
  topC: OWN,
  firingCone: 'off at cone 10 (kimlpottery.com)',
  saltKg: CUSTOM,
  chargeG:
    'a quarter cup of granular salt is about 73 g by handbook bulk density: salts differ, so weigh one charge of your own',
  stallCPerH: `20 °F an hour, ${OWN}`,
  climbTargets:
    '50 °F an hour at the start (evafunderburgh.com), 100 °F an hour to 800 °F (cynthiacusick.blogspot), 100 to 150 °F an hour after that (whistlecreek.blogspot); the last, slow stretch is our own choice',
  climbLimits: OWN,
  coolingBands: `50 °C an hour through quartz inversion at 573 °C (ceramica wiki) and through cristobalite at 226 °C (julietmacleod.com, sources differ by 25 °C); the width of the bands is ${OWN}`,
  unbrickC: `about 400 °F after five days, ${CUSTOM}; others wait for 250 °F (songandbranch.blogspot) or 100 °C (sitawong.com)`,
} satisfies Partial<Record<keyof Plan, string>>;
