import { createRequire } from "node:module";

/** The version of this package, as its package.json says it; by name, since this may run from any depth of it. */
export const { version } = createRequire(import.meta.url)("runjury/package.json") as { version: string };
