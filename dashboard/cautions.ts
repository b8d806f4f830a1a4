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
} as const;
