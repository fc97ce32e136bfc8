import { describe, expect, test } from "vitest";
import { planSchema } from "../../src/judge/plan-schema.ts";
import { digestFolder, makeFolder, makeLog, put, putSession, runCli } from "../support/run-cli.ts";

const stated = ["--noise", "1% low 2%", "--games", "2", "--configs", "2"];

test("a plan and its sheet stay within 80 columns, whatever the names", () => {
  for (const more of [[], ["--sheet"]]) {
    const { status, stdout } = runCli(["plan", "demo-data", ...more]);
    expect(status).toBe(0);
    expect(Math.max(...stdout.split("\n").map(({ length }) => length))).toBeLessThanOrEqual(80);
    expect(stdout).toContain("hollow-parliament");
  }
});

describe("a plan that cannot be made", () => {
  test.for<{ args: string[]; says: RegExp }>([
    { args: [], says: /which games are to be planned\?/ },
    { args: ["--games", "2", "--configs", "2"], says: /average FPS and 1% low vary from pass to pass/ },
    { args: [...stated, "--metric", "avgFps"], says: /how much average FPS varies from pass/ },
    { args: ["demo-data", "--games", "3"], says: /--games 3 and a folder contradict/ },
    { args: [...stated, "--passes", "5", "--hours", "2"], says: /--passes and --hours contradict/ },
    { args: [...stated, "--passes", "5", "--boots", "2"], says: /cannot be shared out evenly among 2 boots/ },
    { args: [...stated, "--least-passes", "8", "--most-passes", "4"], says: /at least 8 and at most 4/ },
    { args: [...stated, "--pass-time", "2", "--setup-time", "1"], says: /the first has the set-up in it/ },
    { args: [...stated, "--seed", "1"], says: /--seed says nothing without --sheet/ },
    { args: [...stated, "--boot-noise", "average FPS 1%"], says: /nothing without --noise "average FPS"/ },
    {
      args: [...stated, "--noise", "low1Fps 3%"],
      says: /"low1Fps 3%" will not do\n {2}expected each metric once/,
    },
    { args: ["--noise", "1% lows 2%", "--games", "2", "--configs", "2"], says: /did you mean "1% low"\?/ },
    {
      args: [...stated, "--noise", "game-3: 1% low 4%"],
      says: /"game-3: 1% low" will not do\n {2}expected a game of the plan before the colon; did you mean "game-1"\?/,
    },
    {
      args: [
        "--noise",
        "a: 1% low 2%",
        "--boot-noise",
        "b: 1% low 1%",
        "--games",
        "a",
        "b",
        "--configs",
        "2",
      ],
      says: /--boot-noise "b: 1% low" says nothing without --noise "b: 1% low"/,
    },
    { args: [...stated, "--hours", "0.1"], says: /too little time: .* takes 43 min, and there is 6 min/ },
    { args: [...stated, "--hours", "0"], says: /Expected a number above 0/ },
    { args: [...stated, "--hours", "-1"], says: /Expected a number above 0/ },
    { args: [...stated, "--passes", "1"], says: /Expected a whole number from 2/ },
    { args: [...stated, "--difference", "0%"], says: /Expected a percent above 0/ },
    {
      args: ["--noise", "1% low 2%", "--games", "0", "--configs", "2"],
      says: /expected a number from 1 to 100/,
    },
    {
      args: ["--noise", "1% low 2%", "--games", "2", "--configs", "1"],
      says: /the only config is "baseline"/,
    },
    {
      args: ["--noise", "1% low 2%", "--games", "900", "--configs", "2"],
      says: /expected a number from 1 to 100/,
    },
    {
      args: ["--noise", "1% low 2%", "--games", "a", "a", "--configs", "2"],
      says: /"a" is given twice/,
    },
    {
      args: ["--noise", "1% low 2%", "--games", "Saltworks", "saltworks", "--configs", "2", "--sheet"],
      says: /would have the same file name where upper and lower case count alike/,
    },
    {
      args: ["--noise", "1% low 2%", "--games", "../up", "a\u001b[2J", "--configs", "2", "--sheet"],
      says: /the game "\.\.\/up" cannot be part[\s\S]*the game "a\\x1b\[2J" cannot be part/,
    },
  ])("says so and why: $args", ({ args, says }) => {
    const { status, stdout, stderr } = runCli(["plan", ...args]);
    expect(stderr).toMatch(says);
    expect(stderr).not.toContain("\u001b");
    expect(stdout).toBe("");
    expect(status).toBe(2);
  });

  test("from one pass per cell says that the noise is unknown and what to do", () => {
    const folder = makeFolder();
    for (const config of ["stock", "parked"]) {
      put(folder, `saltworks/${config}/pass-1.csv`, makeLog(config.length, 100));
    }
    const { status, stderr } = runCli(["plan", folder]);
    expect(status).toBe(2);
    expect(stderr).toContain("no cell has two passes");
    expect(stderr).toContain("three times");
    // Stated, it can be planned all the same.
    expect(runCli(["plan", folder, "--noise", "1% low 2%", "--metric", "low1Fps"]).status).toBe(0);
  });
});

test("noise of one game gives that game a line and passes of its own", () => {
  const noise = ["--noise", "1% low 1%", "--noise", "saltworks: 1% low 1.6%"];
  const { stdout } = runCli(["plan", ...noise, "--games", "tide-runner", "saltworks", "--configs", "2"]);
  expect(stdout).toMatch(/^tide-runner +\d+ +1% low +1%/m);
  expect(stdout).toMatch(/^saltworks +\d+ +1% low +1\.6%/m);
  const passesOf = (game: string): number => Number(new RegExp(`^${game} +(\\d+)`, "m").exec(stdout)?.[1]);
  expect(passesOf("saltworks")).toBeGreaterThan(passesOf("tide-runner"));
});

describe("a plan from captures", () => {
  test("is the JSON of its contract, and touches nothing", () => {
    const folder = makeFolder();
    putSession(folder);
    const before = digestFolder(folder);
    const args = ["plan", folder, "--no-cache", "--hours", "3", "--sheet", "--seed", "4", "--format", "json"];
    const { status, stdout } = runCli(args);
    expect(status).toBe(0);
    expect(digestFolder(folder)).toBe(before);
    const plan = JSON.parse(stdout);
    expect(plan.format).toBe("runjury.plan/1");
    expect(plan.session).toMatchObject({
      baseline: "stock",
      differencePct: 3,
      chancePct: 80,
      budgetMinutes: 180,
    });
    expect(plan.pilot).toEqual({ passes: 12, counted: 12 });
    expect(plan.plan.minutes).toBeLessThanOrEqual(180);
    // Nothing is there that the schema does not name.
    expect(planSchema.parse(plan)).toEqual(plan);
    expect(plan.cautions.map(({ code }: { code: string }) => code)).toContain("power-limits");
    const captures = plan.sheet.steps.filter(({ kind }: { kind: string }) => kind === "capture");
    expect(captures.length).toBe(plan.plan.captures);
    expect(captures[0].file).toMatch(/^(?:kestrel-cup|saltworks)\/(?:stock|parked)\/pass-1\.csv$/);
    expect(runCli(args).stdout).toBe(stdout);
  });

  test.for([
    ["--noise", "1% low 2%", "--games", "3", "--configs", "2"],
    ["--noise", "1% low 2%", "--boot-noise", "1% low 1%", "--games", "3", "--configs", "2", "--sheet"],
    ["--noise", "average FPS 0.5%", "--metric", "avgFps", "--games", "1", "--configs", "3", "--passes", "4"],
    ["demo-data", "--games", "saltworks", "new-game", "--sheet"],
  ])("has no key that its schema does not name: %o", (args) => {
    const plan = JSON.parse(runCli(["plan", ...args, "--no-cache", "--format", "json"]).stdout);
    expect(planSchema.parse(plan)).toEqual(plan);
  });

  test("has its schema printed, which asks for every key", () => {
    const schema = JSON.parse(runCli(["schema", "plan"]).stdout);
    expect(schema).toMatchObject({ $id: "urn:runjury:schema:plan:1", type: "object" });
    expect(schema.required).toEqual(Object.keys(planSchema.shape));
    const { items } = schema.properties.comparisons;
    expect(items.required).toContain("passesInFollow");
    expect(items.properties.metric.enum).toContain("low1Fps");
    // Later versions may add keys.
    expect(JSON.stringify(schema)).not.toContain("additionalProperties");
  });

  test("plans for games and configs that were not captured", () => {
    const folder = makeFolder();
    putSession(folder);
    const { stdout } = runCli([
      ...["plan", folder, "--games", "saltworks", "ninth-lantern", "--configs", "stock", "parked", "full"],
      ...["--format", "json"],
    ]);
    const { comparisons } = JSON.parse(stdout);
    const sources = comparisons.map(
      (row: Record<string, string>) => `${row.game}/${row.config} ${row.noiseFrom}`,
    );
    expect(new Set(sources)).toEqual(
      new Set([
        "saltworks/parked pilot",
        "saltworks/full pilot",
        "ninth-lantern/parked other-games",
        "ninth-lantern/full other-games",
      ]),
    );
  });

  test("without a seed prints the one it drew, which gives the same order again", () => {
    const args = ["plan", ...stated, "--sheet"];
    const first = runCli(args).stdout;
    const [, seed] = /--seed (\d+)/.exec(first.replace(/\s+/g, " ")) ?? [];
    expect(runCli([...args, "--seed", seed as string]).stdout).toBe(first);
  });
});
