/** The alerts by name, and how soon each wants a person. */

export const ALERT_NAMES = [
  'stall',
  'falling',
  'climb-too-fast',
  'salting-soon',
  'salting-window',
  'salt-pause',
  'over-heat',
  'uneven',
  'probe-fault',
  'board-hot',
  'link-silent',
  'draw-due',
  'stoke-due',
  'cooling-too-fast',
  'ready-to-unbrick',
  'archive-trouble',
  'phone-silent',
] as const;
export type AlertName = (typeof ALERT_NAMES)[number];

/** Priorities are few and fixed: someone must come now, someone should look soon, or it is good to know. */
export const ALERT_PRIORITIES = ['come-now', 'look-soon', 'note'] as const;
export type AlertPriority = (typeof ALERT_PRIORITIES)[number];

export const ALERT_PRIORITY: Record<AlertName, AlertPriority> = {
  stall: 'look-soon',
  falling: 'come-now',
  'climb-too-fast': 'look-soon',
  'salting-soon': 'look-soon',
  'salting-window': 'come-now',
  'salt-pause': 'look-soon',
  'over-heat': 'come-now',
  uneven: 'look-soon',
  'probe-fault': 'look-soon',
  'board-hot': 'come-now',
  'link-silent': 'come-now',
  'draw-due': 'note',
  'stoke-due': 'note',
  'cooling-too-fast': 'look-soon',
  'ready-to-unbrick': 'note',
  'archive-trouble': 'come-now',
  'phone-silent': 'look-soon',
};
