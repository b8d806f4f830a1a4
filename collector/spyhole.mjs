#!/usr/bin/env node
/** The command `spyhole`: sets up what is missing, then runs the collector's command line. */
import { build, install } from './set-up.mjs';

const [major = 0, minor = 0] = process.versions.node.split('.').map(Number);
if (major < 20 || (major === 20 && minor < 19)) {
  process.stderr.write(
    `Spyhole needs Node 20.19 or newer; this is ${process.versions.node}. Install it from nodejs.org.\n`,
  );
  process.exit(1);
}
try {
  install({ dev: false });
  const { main } = await import(await build());
  await main(process.argv.slice(2));
} catch (cause) {
  process.stderr.write(`${cause instanceof Error ? cause.message : String(cause)}\n`);
  if (process.env.SPYHOLE_DEBUG && cause instanceof Error) process.stderr.write(`${cause.stack}\n`);
  process.exit(1);
}
