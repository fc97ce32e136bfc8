import { defineConfig } from "vitest/config";

/** Named by mutate.js where it is told which. */
const named = process.env.RUNJURY_MUTATION_TESTS?.split(" ");

/** Simulations of whole sessions, and what waits for files: minutes, not seconds. */
const slow = [
  "test/judge/{looks,planned-chances,promises,boots,capped-games}.test.ts",
  "test/read/{watched-logs,file-source,scan-rows-code}.test.ts",
  "test/pipeline/follow-folder.test.ts",
];

/** The tests that mutants are tried against: those that call the layers' functions, and are quick. */
export default defineConfig({
  test: {
    root: process.cwd(),
    include: named ?? ["test/{measure,judge,read,shared,pipeline}/**/*.test.ts"],
    exclude: named === undefined ? slow : [],
    // Promises kept by simulating many sessions, and limits of time: slow, and no business of one operator.
    testNamePattern: /^(?!.*(?:in twenty|simulated|without delay|takes its time))/,
    setupFiles: ["test/mutation/limit-properties.ts"],
    testTimeout: 20_000,
    env: { NO_COLOR: "1", TZ: "UTC", LC_ALL: "C" },
  },
});
