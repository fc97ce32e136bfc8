import type { Judgement, Verdict } from "../judge/judgement.ts";
import { toCsv } from "./to-csv.ts";

const columns = [
  "game",
  "config",
  "against",
  "metric",
  "value",
  "againstValue",
  "changePct",
  "lowPct",
  "highPct",
  "p",
  "pAdjusted",
  "verdict",
  "size",
  "resolvesPct",
  "passesNeeded",
  "passes",
  "againstPasses",
  "holdsWithAllPasses",
  "limitedBy",
] as const satisfies readonly (keyof Verdict)[];

/** One row per verdict, with the names of the data contract as headers. */
export function judgementCsv(judgement: Judgement): string {
  return toCsv(
    columns,
    judgement.verdicts.map((verdict) => columns.map((column) => verdict[column] ?? null)),
  );
}
