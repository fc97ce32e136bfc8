import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { TrueCell, TrueChange } from "./measure-truth.js";

export const demoFolder = fileURLToPath(new URL("../../demo-data", import.meta.url));

interface Place {
  readonly game: string;
  readonly config: string;
}

interface Truth {
  readonly seed: number;
  readonly baseline: string;
  readonly roles: { readonly frameCapped: string; readonly throttled: Place; readonly powerHelps: string };
  readonly badPass: Place & { readonly pass: string };
  readonly changes: readonly TrueChange[];
  readonly cells: readonly TrueCell[];
  readonly mustFind: readonly (Place & { readonly metric: string; readonly verdict: string })[];
  readonly mustNot: readonly (Place & { readonly metric: string; readonly verdicts: readonly string[] })[];
}

/** What the generator wrote about the committed session: demo-data/truth.json. */
export function readTruth(): Truth {
  return JSON.parse(readFileSync(`${demoFolder}/truth.json`, "utf8"));
}
