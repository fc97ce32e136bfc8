import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { kernelModule } from "../../bin/build/kernel.js";

test("the compiled inner loop is that of its source", async () => {
  expect(readFileSync("src/read/scan-rows-code.ts", "utf8")).toBe(await kernelModule());
});
