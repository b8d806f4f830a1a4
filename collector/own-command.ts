/** How Spyhole's own commands are to be typed, by how this one was started. */

/** `npm start -- ports` where npm's `start` runs, `npx spyhole ports` where npx does, else `spyhole ports`. */
export function ownCommand(words: string, env: NodeJS.ProcessEnv = process.env): string {
  if (env.npm_lifecycle_event === 'start') return `npm start -- ${words}`;
  return env.npm_command === 'exec' ? `npx spyhole ${words}` : `spyhole ${words}`;
}
