/** The arrows between the rooms: what each folder may import of ours. An import that climbs the wrong way fails `npm run check`. */
module.exports = {
  forbidden: [
    {
      name: 'protocol-imports-nothing-of-ours',
      severity: 'error',
      from: { path: '^protocol/' },
      to: { path: '^(alerts|collector|dashboard|tests)/' },
    },
    {
      name: 'alerts-import-only-protocol',
      severity: 'error',
      from: { path: '^alerts/' },
      to: { path: '^(collector|dashboard|tests)/' },
    },
    {
      name: 'collector-imports-no-page',
      comment:
        'But for the set-up, which builds the page, and for the drawing of the firing sheet, which is one for both.',
      severity: 'error',
      from: { path: '^collector/', pathNot: '^collector/(set-up[.]mjs|commands/sheet[.]ts)$' },
      to: { path: '^(dashboard|tests)/' },
    },
    {
      name: 'the-sheet-is-all-that-is-shared-of-the-page',
      severity: 'error',
      from: { path: '^collector/commands/sheet[.]ts$' },
      to: { path: '^(dashboard|tests)/', pathNot: '^dashboard/sheet/' },
    },
    {
      name: 'dashboard-imports-protocol-and-the-pure-core',
      severity: 'error',
      from: { path: '^dashboard/' },
      to: { path: '^(alerts|tests)/|^collector/(?!core/)' },
    },
    {
      name: 'core-is-pure',
      comment: 'The measuring core reads no clock, no disk and no network.',
      severity: 'error',
      from: { path: '^(collector/core|alerts|protocol)/' },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'core-imports-no-shell',
      severity: 'error',
      from: { path: '^collector/core/' },
      to: { path: '^collector/(?!core/)' },
    },
    ...[
      // Each room of the collector, and what it may import of the others; the files beside the rooms belong to all.
      ['lines', 'core'],
      ['demo-kiln', 'core'],
      ['links', 'demo-kiln'],
      ['board-check', 'core|links'],
      ['archive', 'core'],
      ['ways', 'core|archive'],
      ['https', 'archive'],
      ['server', 'core|archive|ways|https'],
      ['import', 'core|archive|server|firing'],
      ['firing', 'core|lines|links|board-check|archive|ways|server'],
    ].map(([room, others]) => ({
      name: `collector-${room}-imports-no-room-behind-it`,
      severity: 'error',
      from: { path: `^collector/${room}/` },
      to: {
        path: '^collector/',
        pathNot: `^collector/((${room}|${others})/|(clock|error-code|own-command)[.]ts$)`,
      },
    })),
    {
      name: 'nobody-imports-the-command-line',
      comment: 'But for the program that starts it.',
      severity: 'error',
      from: { pathNot: '^collector/(commands/|main[.]ts$|spyhole[.]mjs$)' },
      to: { path: '^collector/(commands/|main[.]ts$)' },
    },
    { name: 'no-circles', severity: 'error', from: {}, to: { circular: true } },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
  },
};
