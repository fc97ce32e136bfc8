import { createRequire } from "node:module";

/** The version of this package, as its package.json says it. */
export const { version } = createRequire(import.meta.url)("../package.json") as { version: string };
