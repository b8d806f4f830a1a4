/** The log book's own words. */
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
} as const;

/** The damper's places that have a button of their own. */
export const DAMPER_STEPS = [
  { open: 0, words: 'shut', short: 'shut' },
  { open: 0.25, words: 'a quarter', short: '¼' },
  { open: 0.5, words: 'half', short: '½' },
  { open: 0.75, words: 'three quarters', short: '¾' },
  { open: 1, words: 'open', short: 'open' },
] as const;

/** The weather in one touch; the rest is a note. */
export const WEATHERS = ['still air', 'light wind', 'gusty', 'rain', 'snow', 'frost'] as const;

/** Colours of a salted ring as potters say them; what else it is, a note says. */
export const RING_COLOURS = ['white', 'grey', 'tan', 'brown', 'green', 'blue'] as const;
