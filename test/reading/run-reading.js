/*
 * Reads logs of many made-up recorders and tells how often the reader was right, asked, refused, or was wrong in
 * silence. `npm run reading -- --logs 2000 --seed 1`
 */
import { mkdirSync, writeFileSync } from "node:fs";
import { parseArgs } from "node:util";
import { readLog } from "../../dist/read/read-log.js";
import { readMade } from "./read-made.js";

const { values } = parseArgs({
  options: {
    logs: { type: "string", default: "1000" },
    seed: { type: "string", default: "1" },
    keep: { type: "string" },
  },
});
const first = Number(values.seed) * 1_000_000;
const outcomes = new Map();
const byTrait = new Map();
for (let i = 0; i < Number(values.logs); i++) {
  const { made, outcome, why } = await readMade(readLog, first + i);
  outcomes.set(outcome, (outcomes.get(outcome) ?? 0) + 1);
  for (const trait of made.traits) {
    const row = byTrait.get(trait) ?? {};
    row[outcome] = (row[outcome] ?? 0) + 1;
    byTrait.set(trait, row);
  }
  if (outcome === "right" || outcome === "asked in doubt") continue;
  console.log(`${outcome}: ${first + i} ${why} (${made.traits.join(", ")})`);
  if (values.keep !== undefined) {
    mkdirSync(values.keep, { recursive: true });
    writeFileSync(`${values.keep}/${first + i}.${made.extension}`, made.bytes);
  }
}
for (const [outcome, count] of outcomes) console.log(outcome, count);
