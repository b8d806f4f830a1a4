/** The curve's own words. */
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
} as const;
