// Mutation testing of what reads, measures and judges: the code is changed in one place at a time, and some test must
// notice. Prints a table by folders and named files, and what nothing noticed:
//   npm run test:mutation [-- <folder or file of src>... --share <0 to 1> --seed <number> --tests <file of test>...]
// A share takes that many of the lines at random, the same ones for the same seed, for hours become minutes.
// A file may be given with lines, as file:10-20, to try what survived again.
// Tests named are the only ones that are tried, also those that usually are too slow; a file of src that is named is
// changed in any case.
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { parseArgs } from "node:util";
import { Stryker } from "@stryker-mutator/core";
import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    share: { type: "string", default: "1" },
    seed: { type: "string", default: "1" },
    tests: { type: "string", multiple: true },
  },
});
const share = Number(values.share);
const areas = positionals.length > 0 ? positionals : ["src/read", "src/measure", "src/judge"];
/** Not ours to change: the compiler's output and its source, and what opens files, which other tests hold. */
const left = /scan-rows-code\.ts$|\/assembly\/|read\/(?:files|watch-files|watched-logs)\.ts$|\.d\.ts$/;

const random = xoroshiro128plus(Number(values.seed));
const uniform = () => (random.next() >>> 0) / 2 ** 32;
/** Some lines of a file, as file:from-to. */
const stretches = areas.filter((area) => /:\d+-\d+$/.test(area));
const files = areas.filter((area) => !stretches.includes(area)).flatMap(filesIn);
const mutate = [...stretches, ...(share >= 1 ? files : files.flatMap(someLines))];

function filesIn(area) {
  if (area.endsWith(".ts")) return [area];
  return readdirSync(area, { recursive: true })
    .map((name) => path.posix.join(area, name))
    .filter((file) => file.endsWith(".ts") && !left.test(file))
    .sort();
}

function someLines(file) {
  const lines = readFileSync(file, "utf8").split("\n");
  return lines.flatMap((_line, i) => (uniform() < share ? [`${file}:${i + 1}-${i + 1}`] : []));
}

if (values.tests !== undefined) process.env.RUNJURY_MUTATION_TESTS = values.tests.join(" ");

const results = await new Stryker({
  testRunner: "vitest",
  plugins: ["@stryker-mutator/vitest-runner"],
  vitest: { configFile: "test/mutation/vitest.config.ts", related: false },
  coverageAnalysis: "perTest",
  concurrency: 1,
  // What is run once when a file is loaded would need all tests anew for every mutant.
  ignoreStatic: true,
  // A code that is another text is a fault that the compiler finds; wording is held by the golden files.
  mutator: { excludedMutations: ["StringLiteral"] },
  reporters: ["progress-append-only"],
  tempDirName: "node_modules/.cache/mutation/sandbox",
  ignorePatterns: ["demo-data", "dist", "test/golden"],
  disableTypeChecks: false,
  tsconfigFile: "none",
  timeoutMS: 5000,
  mutate,
}).runMutationTest();

const counted = results.filter(({ status }) => status !== "Ignored");
const fileOf = ({ fileName }) => path.relative(process.cwd(), fileName);
/** Files that were named have a line each. */
const groupOf = (mutant) =>
  positionals.includes(fileOf(mutant)) ? path.basename(fileOf(mutant)) : path.dirname(fileOf(mutant));
console.log("\n                    mutants   killed  survived  untested    share killed");
for (const group of [...new Set(counted.map(groupOf))].sort()) {
  const own = counted.filter((mutant) => groupOf(mutant) === group);
  const count = (...wanted) => own.filter(({ status }) => wanted.includes(status)).length;
  const killed = count("Killed", "Timeout", "RuntimeError", "CompileError");
  const [low, high] = wilson(killed, own.length);
  const range = share >= 1 ? "" : ` (95% interval ${low.toFixed(1)} to ${high.toFixed(1)}%)`;
  console.log(
    `${group.padEnd(18)} ${String(own.length).padStart(8)} ${String(killed).padStart(8)} ` +
      `${String(count("Survived")).padStart(9)} ${String(count("NoCoverage")).padStart(9)} ` +
      `${((100 * killed) / own.length).toFixed(1).padStart(10)}%${range}`,
  );
}
const missed = counted
  .filter(({ status }) => status === "Survived" || status === "NoCoverage")
  .map(describe)
  .sort();
console.log(`\nNothing noticed (${missed.length}):\n${missed.join("\n")}`);
mkdirSync("node_modules/.cache/mutation", { recursive: true });
writeFileSync("node_modules/.cache/mutation/missed.txt", `${missed.join("\n")}\n`);

// Counted as killed: an endless loop is noticed. On a busy machine one may only have been slow.
const late = counted
  .filter(({ status }) => status === "Timeout")
  .map(describe)
  .sort();
console.log(`\nRan out of time (${late.length}):\n${late.join("\n")}`);

function describe(mutant) {
  const { location, mutatorName, replacement, status } = mutant;
  const text = (replacement ?? "").replace(/\s+/g, " ").slice(0, 80);
  return `${fileOf(mutant)}:${location.start.line}:${location.start.column + 1} ${status === "NoCoverage" ? "(untested) " : ""}${mutatorName}: ${text}`;
}

/** Wilson 1927, Journal of the American Statistical Association 22, 209-212; in percent. */
function wilson(hits, n) {
  const z = 1.959964;
  const p = hits / n;
  const middle = (p + (z * z) / (2 * n)) / (1 + (z * z) / n);
  const half = (z / (1 + (z * z) / n)) * Math.sqrt((p * (1 - p)) / n + (z * z) / (4 * n * n));
  return [100 * (middle - half), 100 * (middle + half)];
}
