#!/usr/bin/env node
import { existsSync } from "node:fs";

const main = new URL("../dist/bundle/main.js", import.meta.url);
if (existsSync(main)) {
  await (await import(main)).main(process.argv);
} else {
  // Only a clone can be without it: the package brings it along.
  process.stderr.write(
    "runjury: error: it has not been built yet\n  run npm run build beside its package.json\n",
  );
  process.exitCode = 2;
}
