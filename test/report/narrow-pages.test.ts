import { beforeAll, describe, expect, test } from "vitest";
import {
  type CapPlan,
  capTable,
  type JudgedPass,
  type Plan,
  passesTable,
  planFolder,
  planFolderCaps,
  planTable,
  sheetTable,
} from "../../src/index.ts";
import { runCli } from "../support/run-cli.ts";

let caps: CapPlan;
let passes: readonly JudgedPass[];
let plan: Plan;
beforeAll(async () => {
  passes = JSON.parse(runCli(["passes", "demo-data", "--format", "json"]).stdout).passes;
  caps = (await planFolderCaps("demo-data")).plan;
  plan = (await planFolder("demo-data", { sheet: true, seed: 1 })).plan;
});

const widths = [32, 40, 50, 60, 80, 100, 120, 160];
const pages: readonly { readonly name: string; readonly draw: (width: number) => string }[] = [
  { name: "passes", draw: (width) => passesTable(passes, { width, color: false }) },
  { name: "cap", draw: (width) => capTable(caps, { width, color: false }) },
  { name: "plan", draw: (width) => planTable(plan, { width, color: false }) },
  { name: "a run sheet", draw: (width) => sheetTable(plan as never, { width, color: false }) },
];

describe.for(pages)("$name", ({ draw }) => {
  test.for(widths)("is not wider than %i columns", (width) => {
    const lines = draw(width).split("\n");
    expect(lines.filter((line) => line.length > width)).toEqual([]);
    expect(lines.length).toBeGreaterThan(10);
  });
});

/** What a page says, whatever its line breaks. */
const said = (page: string): string => page.replace(/\s+/g, " ");

test("every figure of a pass stands in each form of the table", () => {
  for (const width of widths) {
    const page = said(passesTable(passes, { width, color: false }));
    for (const word of ["frames", "seconds", "average", "0.1% low", "J per", "stutter", "mean"]) {
      expect(page).toContain(word);
    }
    expect(page.match(/x pass-3/g)?.length).toBeGreaterThan(0);
  }
});

test("every cap to try stands in each form of the table", () => {
  for (const width of widths) {
    const words = said(capTable(caps, { width, color: false })).split(/[ ,]+/);
    for (const { capFps } of caps.caps) expect(words).toContain(String(capFps));
  }
});

test("games and configs of which the same is to be said share a line", () => {
  expect(said(capTable(caps, { width: 80, color: false }))).toContain(
    "kestrel-cup / balanced-54w, full-65w, quiet-35w: the session gives a cap of 144 FPS",
  );
});

test("every file of a run sheet stands whole where the page has room for it", () => {
  const page = sheetTable(plan as never, { width: 50, color: false });
  const files = plan.sheet?.steps.flatMap(({ file }) => file ?? []) ?? [];
  expect(files.length).toBeGreaterThan(50);
  for (const file of files) expect(page).toContain(` ${file}\n`);
});

test("a name longer than the page is broken, not cut", () => {
  const pass = "an-evening-with-a-very-long-name-for-a-single-pass";
  const page = passesTable([{ ...(passes[0] as JudgedPass), pass }], { width: 40, color: false });
  expect(page.replace(/\n +/g, "").replaceAll(" ", "")).toContain(pass.slice(0, 20));
  expect(page).not.toContain("…");
});
