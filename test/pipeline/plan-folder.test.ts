import { beforeEach, describe, expect, test } from "vitest";
import type { Plan } from "../../src/judge/plan.ts";
import { planSchema } from "../../src/judge/plan-schema.ts";
import { planFolder } from "../../src/pipeline/plan-folder.ts";
import type { PlanOptions } from "../../src/pipeline/plan-options.ts";
import { refusalOf } from "../support/refusal-of.ts";
import { makeFolder, makeLog, put } from "../support/run-cli.ts";

const stated = { noise: ["1% low 2%"], games: 2, configs: 2 } as const;

const planOf = async (folder: string | null, options: PlanOptions): Promise<Plan> =>
  (await planFolder(folder, options)).plan;

/** What one of two options said at once contradicts. */
const clash = (options: readonly [string, string], why: string) => ({
  code: "plan-options-clash",
  severity: "error",
  at: { file: "" },
  options,
  why,
});

const badOption = (option: string, value: string, expected: string) => ({
  code: "bad-option",
  severity: "error",
  at: { file: "" },
  option,
  value,
  expected,
});

const alone = (option: string, needs: string) => ({
  code: "plan-option-alone",
  severity: "error",
  at: { file: "" },
  option,
  needs,
});

const noFile = { severity: "error", at: { file: "" } };

describe("options that cannot be followed", () => {
  test.for<{ what: string; folder?: string; options: PlanOptions; problems: readonly object[] }>([
    {
      what: "nothing is said at all",
      options: {},
      problems: [
        { ...noFile, code: "plan-names-missing", kind: "games" },
        { ...noFile, code: "plan-names-missing", kind: "configs" },
        { ...noFile, code: "plan-noise-missing", metrics: ["average FPS", "1% low"] },
      ],
    },
    {
      what: "one metric has no noise",
      options: { ...stated, metrics: ["avgFps", "low1Fps"] },
      problems: [{ ...noFile, code: "plan-noise-missing", metrics: ["average FPS"] }],
    },
    {
      what: "passes and hours",
      options: { ...stated, passes: 5, hours: 2 },
      problems: [clash(["--passes", "--hours"], "one says how many, the other how long")],
    },
    {
      what: "passes and their least number",
      options: { ...stated, passes: 5, leastPasses: 4 },
      problems: [
        clash(["--passes", "--least-passes"], "one says exactly how many, the other at least how many"),
      ],
    },
    {
      what: "passes and their most number",
      options: { ...stated, passes: 5, mostPasses: 8 },
      problems: [
        clash(["--passes", "--most-passes"], "one says exactly how many, the other at most how many"),
      ],
    },
    {
      what: "the time of a pass and that of its set-up",
      options: { ...stated, passMinutes: 2, setupMinutes: 1 },
      problems: [clash(["--pass-time", "--setup-time"], "the first has the set-up in it")],
    },
    {
      what: "a least number above the most",
      options: { ...stated, leastPasses: 8, mostPasses: 4 },
      problems: [clash(["--least-passes", "--most-passes"], "at least 8 and at most 4")],
    },
    {
      what: "passes that boots cannot share",
      options: { ...stated, passes: 5, boots: 2 },
      problems: [clash(["--passes", "--boots"], "5 passes cannot be shared out evenly among 2 boots")],
    },
    {
      what: "more boots than passes",
      options: { ...stated, boots: 5, mostPasses: 4 },
      problems: [clash(["--boots", "--most-passes"], "every boot has a pass of every game")],
    },
    {
      what: "a number of games beside a folder, which is not even looked at",
      folder: "there is no such folder",
      options: { games: 3 },
      problems: [clash(["--games 3", "a folder"], "the folder names them")],
    },
    {
      what: "a number of configs beside a folder",
      folder: "there is no such folder",
      options: { configs: 4 },
      problems: [clash(["--configs 4", "a folder"], "the folder names them")],
    },
    {
      what: "a seed without a sheet",
      options: { ...stated, seed: 1 },
      problems: [alone("--seed", "--sheet")],
    },
    {
      what: "a seed for a sheet that is declined",
      options: { ...stated, seed: 1, sheet: false },
      problems: [alone("--seed", "--sheet")],
    },
    {
      what: "noise of boots alone",
      options: { ...stated, bootNoise: ["average FPS 1%"] },
      problems: [alone('--boot-noise "average FPS"', '--noise "average FPS"')],
    },
    {
      what: "noise of boots in a game of which nothing is said",
      options: { games: ["a", "b"], configs: 2, noise: ["a: 1% low 2%"], bootNoise: ["b: 1% low 1%"] },
      problems: [alone('--boot-noise "b: 1% low"', '--noise "b: 1% low"')],
    },
    {
      what: "noise of a metric twice",
      options: { ...stated, noise: ["1% low 2%", "low1Fps 3%"] },
      problems: [badOption("--noise", "low1Fps 3%", "each metric once, for all games or for one")],
    },
    {
      what: "noise of boots of a metric twice",
      options: { ...stated, bootNoise: ["1% low 2%", "low1Fps 3%"] },
      problems: [badOption("--boot-noise", "low1Fps 3%", "each metric once, for all games or for one")],
    },
    {
      what: "noise without a number",
      options: { ...stated, noise: ["1% low"] },
      problems: [badOption("--noise", "1% low", 'a metric and its noise in percent, such as "1% low 2%"')],
    },
    {
      what: "noise of a game that is nearly one of the plan",
      options: { ...stated, noise: ["1% low 2%", "game-3: 1% low 4%"] },
      problems: [
        badOption("--noise", "game-3: 1% low", 'a game of the plan before the colon; did you mean "game-1"?'),
      ],
    },
    {
      what: "noise of a game like none of the plan",
      options: { ...stated, noise: ["1% low 2%", "hollow-parliament: 1% low 4%"] },
      problems: [badOption("--noise", "hollow-parliament: 1% low", "a game of the plan before the colon")],
    },
    {
      what: "no game",
      options: { ...stated, games: 0 },
      problems: [badOption("--games", "0", "a number from 1 to 100")],
    },
    {
      what: "too many configs",
      options: { ...stated, configs: 101 },
      problems: [badOption("--configs", "101", "a number from 1 to 100")],
    },
    {
      what: "a game twice",
      options: { ...stated, games: ["a", "b", "a"] },
      problems: [{ ...noFile, code: "plan-name-twice", kind: "game", name: "a" }],
    },
    {
      what: "a config twice, once composed and once not",
      options: { ...stated, configs: ["stock", "caf\u00e9", "cafe\u0301"] },
      problems: [{ ...noFile, code: "plan-name-twice", kind: "config", name: "caf\u00e9" }],
    },
    {
      what: "too little time",
      // 2 games x 2 configs x 3 passes and the baseline of each once more are 14 captures of 2 minutes, and 3 changes of
      // 5 minutes each: 43 minutes.
      options: { ...stated, hours: 0.1 },
      problems: [
        {
          ...noFile,
          code: "plan-time-too-short",
          minutes: 6,
          leastMinutes: 43,
          captures: 14,
          leastPasses: 3,
        },
      ],
    },
    {
      what: "names that cannot be part of a file's",
      options: { ...stated, games: ["ok", "../up"], configs: ["stock", "a:b"], sheet: true },
      problems: [
        { ...noFile, code: "plan-name-unusable", kind: "game", name: "../up" },
        { ...noFile, code: "plan-name-unusable", kind: "config", name: "a:b" },
      ],
    },
  ])("$what", async ({ folder, options, problems }) => {
    expect(await refusalOf(() => planFolder(folder ?? null, options))).toEqual(problems);
  });

  test("two passes whose files differ in case alone", async () => {
    const options = { ...stated, games: ["Saltworks", "saltworks"], sheet: true };
    const [problem, ...others] = await refusalOf(() => planFolder(null, options));
    expect(others).toEqual([]);
    expect(problem).toMatchObject({ ...noFile, code: "plan-files-collide" });
    const { passes } = problem as unknown as { passes: string[] };
    expect([...passes].sort()).toEqual([...new Set(passes)].sort());
    expect(new Set(passes.map((pass) => pass.toLowerCase())).size).toBe(1);
  });
});

describe("a plan from stated noise", () => {
  test("has names made up from numbers, the usual minutes and the usual chance", async () => {
    const { plan, problems } = await planFolder(null, { ...stated, configs: 3 });
    expect(problems).toEqual([]);
    expect(plan.pilot).toBeNull();
    expect(plan.sheet).toBeNull();
    expect(plan.session).toEqual({
      title: null,
      baseline: "baseline",
      games: ["game-1", "game-2"],
      configs: ["baseline", "config-2", "config-3"],
      lows: "percentile",
      metrics: ["low1Fps"],
      differencePct: 3,
      mattersPct: 3,
      confidencePct: 95,
      falseAlarmControl: "columns",
      chancePct: 80,
      leastPasses: 3,
      mostPasses: 10,
      switchMinutes: 5,
      budgetMinutes: null,
    });
    expect(plan.plan.games.map(({ minutesPerPass }) => minutesPerPass)).toEqual([2, 2]);
    expect(planSchema.parse(plan)).toEqual(plan);
  });

  test("of the most names there may be", async () => {
    const { session } = await planOf(null, { ...stated, games: 100, passes: 2 });
    expect(session.games.length).toBe(100);
    expect(session.games.at(-1)).toBe("game-100");
  });

  test.for<{ options: PlanOptions; least: number; most: number }>([
    { options: {}, least: 3, most: 10 },
    { options: { leastPasses: 8 }, least: 8, most: 10 },
    { options: { leastPasses: 12 }, least: 12, most: 12 },
    { options: { mostPasses: 2 }, least: 2, most: 2 },
    { options: { mostPasses: 6 }, least: 3, most: 6 },
    { options: { leastPasses: 5, mostPasses: 5 }, least: 5, most: 5 },
  ])("keeps $least to $most passes for $options", async ({ options, least, most }) => {
    const { session } = await planOf(null, { ...stated, ...options });
    expect([session.leastPasses, session.mostPasses]).toEqual([least, most]);
  });

  test.for<{ what: string; options: PlanOptions; boots: number; perBoot: number }>([
    { what: "passes alone", options: { passes: 6 }, boots: 1, perBoot: 6 },
    { what: "passes that boots share", options: { passes: 6, boots: 3 }, boots: 3, perBoot: 2 },
    { what: "as many boots as passes", options: { boots: 4, mostPasses: 4 }, boots: 4, perBoot: 1 },
    { what: "more boots than usual", options: { boots: 12, passes: 12 }, boots: 12, perBoot: 1 },
  ])("has what is asked for: $what", async ({ options, boots, perBoot }) => {
    const { plan } = await planOf(null, { ...stated, ...options });
    expect(plan.boots).toBe(boots);
    expect(plan.games.map(({ passesPerBoot }) => passesPerBoot)).toEqual([perBoot, perBoot]);
  });

  test("holds the time that is given", async () => {
    const noise = ["1% low 20%"];
    const { plan, session } = await planOf(null, { ...stated, noise, hours: 2, mostPasses: 30 });
    expect(session.budgetMinutes).toBe(120);
    // 15 minutes of changes, the baseline of 2 games once more, and 25 times 4 minutes of a game under both configs.
    expect(plan.minutes).toBe(119);
  });

  test("reckons with the minutes that are given", async () => {
    const perPass = async (options: PlanOptions) =>
      (await planOf(null, { ...stated, ...options })).plan.games[0]?.minutesPerPass;
    expect(await perPass({ setupMinutes: 3 })).toBe(4);
    expect(await perPass({ passMinutes: 7 })).toBe(7);
    const { plan, session } = await planOf(null, { ...stated, passes: 3, passMinutes: 1, switchMinutes: 0 });
    expect(session.switchMinutes).toBe(0);
    expect(plan.minutes).toBe(12);
  });

  test("takes what is asked instead of what is usual", async () => {
    const options: PlanOptions = {
      ...stated,
      baseline: "cafe\u0301",
      configs: ["parked", "caf\u00e9"],
      lows: "tail-average",
      mattersPct: 4,
      confidencePct: 90,
      chancePct: 70,
    };
    expect((await planOf(null, options)).session).toMatchObject({
      baseline: "caf\u00e9",
      configs: ["caf\u00e9", "parked"],
      lows: "tail-average",
      differencePct: 4,
      mattersPct: 4,
      confidencePct: 90,
      chancePct: 70,
    });
    const { session } = await planOf(null, { ...options, differencePct: 5 });
    expect([session.differencePct, session.mattersPct]).toEqual([5, 4]);
  });

  test("has its metrics in the usual order, those asked for or those stated", async () => {
    const noise = ["CPU power 1%", "1% low 2%", "average FPS 1%"];
    const metricsOf = async (more: PlanOptions) =>
      (await planOf(null, { ...stated, noise, ...more })).session.metrics;
    expect(await metricsOf({})).toEqual(["avgFps", "low1Fps", "cpuPowerW"]);
    expect(await metricsOf({ metrics: ["cpuPowerW", "low1Fps"] })).toEqual(["low1Fps", "cpuPowerW"]);
  });

  test("takes a game's own noise where it is stated, of passes and of boots each", async () => {
    const noiseOf = async (noise: string[], bootNoise: string[]) =>
      (await planOf(null, { games: ["a", "b"], configs: 2, noise, bootNoise })).comparisons.map(
        ({ game, noisePct, bootNoisePct, noiseFrom }) => [
          game,
          noisePct === null ? null : Number(noisePct.toPrecision(12)),
          bootNoisePct === null ? null : Number(bootNoisePct.toPrecision(12)),
          noiseFrom,
        ],
      );
    expect(await noiseOf(["1% low 2%"], [])).toEqual([
      ["a", 2, null, "stated"],
      ["b", 2, null, "stated"],
    ]);
    expect(await noiseOf(["1% low 2%", "a: 1% low 3%"], ["1% low 1%"])).toEqual([
      ["a", 3, 1, "stated"],
      ["b", 2, 1, "stated"],
    ]);
    expect(await noiseOf(["1% low 2%"], ["b: 1% low 0.5%"])).toEqual([
      ["a", 2, null, "stated"],
      ["b", 2, 0.5, "stated"],
    ]);
    // What is said of boots in every game holds where the noise of passes is known.
    expect(await noiseOf(["a: 1% low 2%"], ["1% low 1%"])).toEqual([
      ["a", 2, 1, "stated"],
      ["b", null, null, null],
    ]);
    expect(await noiseOf(["a: 1% low 2%", "b: 1% low 4%"], ["b: 1% low 1%", "1% low 3%"])).toEqual([
      ["a", 2, 3, "stated"],
      ["b", 4, 1, "stated"],
    ]);
  });
});

describe("a run sheet", () => {
  const capturesOf = (plan: Plan) =>
    plan.sheet?.steps.flatMap((step) => (step.kind === "capture" ? [step] : [])) ?? [];

  test("names the file of every pass, in an order that its seed gives", async () => {
    const options = { ...stated, passes: 3, sheet: true };
    const plan = await planOf(null, { ...options, seed: 4 });
    expect(plan.sheet).toMatchObject({ seed: 4, layout: "{game}/{config}/{pass}", isLayoutNew: false });
    const captures = capturesOf(plan);
    expect(captures.length).toBe(plan.plan.captures);
    for (const { game, config, pass, file } of captures) expect(file).toBe(`${game}/${config}/${pass}.csv`);
    const switches = plan.sheet?.steps.filter(({ kind }) => kind === "switch") ?? [];
    expect(switches.map(({ file }) => file)).toEqual([null, null, null]);
    expect(await planOf(null, { ...options, seed: 4 })).toEqual(plan);
    expect((await planOf(null, { ...options, seed: 5 })).sheet?.steps).not.toEqual(plan.sheet?.steps);
    expect((await planOf(null, options)).sheet?.seed).toBe(0);
  });

  test("has boots in its names where a config has several", async () => {
    const plan = await planOf(null, { ...stated, boots: 2, passes: 2, sheet: true });
    expect(plan.sheet).toMatchObject({ layout: "{game}/{config}/{boot}_{pass}", isLayoutNew: true });
    for (const { game, config, boot, pass, file } of capturesOf(plan))
      expect(file).toBe(`${game}/${config}/${boot}_${pass}.csv`);
  });
});

describe("a plan from a pilot", () => {
  let folder: string;
  let seconds: Record<string, number[]>;

  const logOf = (seed: number, fps: number): string => makeLog(seed, fps, 1100);

  /** Sum of the column of frame times. */
  const secondsOf = (log: string): number =>
    log
      .trim()
      .split("\n")
      .slice(1)
      .reduce((sum, row) => sum + Number(row.split(",")[2]) / 1000, 0);

  const medianOf = (values: readonly number[]): number => {
    const sorted = [...values].sort((a, b) => a - b);
    const middle = sorted.length / 2;
    return sorted.length % 2 === 1
      ? (sorted[middle - 0.5] as number)
      : ((sorted[middle - 1] as number) + (sorted[middle] as number)) / 2;
  };

  beforeEach(() => {
    folder = makeFolder();
    seconds = { "kestrel-cup": [], saltworks: [] };
    let seed = 1;
    for (const [game, fps] of [
      ["kestrel-cup", 140],
      ["saltworks", 70],
    ] as const) {
      for (const config of ["parked", "stock"]) {
        for (const pass of [1, 2, 3]) {
          const log = logOf(seed++, fps);
          seconds[game]?.push(secondsOf(log));
          put(folder, `${game}/${config}/pass-${pass}.csv`, log);
        }
      }
    }
  });

  test("takes names, noise and lengths from it", async () => {
    const files: string[] = [];
    const hooks = { onLogs: (all: readonly string[]) => files.push(...all) };
    const { plan, problems } = await planFolder(folder, {}, hooks);
    expect(problems).toEqual([]);
    expect(files.length).toBe(12);
    expect(plan.session).toMatchObject({
      baseline: "stock",
      games: ["kestrel-cup", "saltworks"],
      configs: ["stock", "parked"],
      metrics: ["avgFps", "low1Fps"],
    });
    expect(plan.pilot).toEqual({ passes: 12, counted: 12 });
    expect(plan.comparisons.map(({ noiseFrom }) => noiseFrom)).toEqual(["pilot", "pilot", "pilot", "pilot"]);
    for (const { game, minutesPerPass } of plan.plan.games)
      expect(minutesPerPass).toBeCloseTo(medianOf(seconds[game] ?? []) / 60 + 1, 6);
  });

  test("gives a game that was not captured the length of the others and their noise", async () => {
    const { plan, comparisons } = await planOf(folder, {
      games: ["new-game", "saltworks"],
      setupMinutes: 0.5,
      metrics: ["avgFps"],
    });
    expect(plan.games.map(({ game }) => game)).toEqual(["new-game", "saltworks"]);
    const all = medianOf(Object.values(seconds).flat());
    expect(plan.games[0]?.minutesPerPass).toBeCloseTo(all / 60 + 0.5, 6);
    expect(plan.games[1]?.minutesPerPass).toBeCloseTo(medianOf(seconds.saltworks ?? []) / 60 + 0.5, 6);
    expect(comparisons.map(({ noiseFrom }) => noiseFrom)).toEqual(["other-games", "pilot"]);
  });

  test("reckons what is skipped of a pass among its length", async () => {
    const text = "trim: { skip: 2s }\n";
    put(folder, "session.yaml", text);
    const { plan } = await planOf(folder, {});
    for (const { game, minutesPerPass } of plan.games) {
      // A frame at the cut may be on either side of it.
      expect(Math.abs(minutesPerPass - medianOf(seconds[game] ?? []) / 60 - 1)).toBeLessThan(0.05 / 60);
    }
  });

  test("takes what the session says, in its order, and options before it", async () => {
    put(
      folder,
      "session.yaml",
      [
        "title: Two limits",
        "baseline: parked",
        "lows: tail-average",
        "matters: 2%",
        "confidence: 90%",
        "false-alarm-control: strict",
        "games: { saltworks: {}, new-game: {} }",
        "configs: { stock: {} }",
      ].join("\n"),
    );
    const { plan, problems } = await planFolder(folder);
    expect(problems.map(({ code }) => code)).toEqual(["game-not-captured"]);
    expect(plan.session).toMatchObject({
      title: "Two limits",
      baseline: "parked",
      games: ["saltworks", "new-game", "kestrel-cup"],
      configs: ["parked", "stock"],
      lows: "tail-average",
      differencePct: 2,
      mattersPct: 2,
      confidencePct: 90,
      falseAlarmControl: "strict",
    });
    const options: PlanOptions = {
      baseline: "stock",
      lows: "percentile",
      mattersPct: 4,
      confidencePct: 99,
      games: ["saltworks"],
    };
    expect((await planOf(folder, options)).session).toMatchObject({
      baseline: "stock",
      games: ["saltworks"],
      configs: ["stock", "parked"],
      lows: "percentile",
      mattersPct: 4,
      confidencePct: 99,
    });
  });

  test("lets what is stated win over what it shows, and adds it to the usual metrics", async () => {
    const { session, comparisons } = await planOf(folder, {
      noise: ["1% low 2.5%", "saltworks: CPU power 1%"],
    });
    expect(session.metrics).toEqual(["avgFps", "low1Fps", "cpuPowerW"]);
    const from = comparisons.map(({ game, metric, noiseFrom }) => [game, metric, noiseFrom]);
    expect(from).toEqual([
      ["kestrel-cup", "avgFps", "pilot"],
      ["kestrel-cup", "low1Fps", "stated"],
      ["kestrel-cup", "cpuPowerW", null],
      ["saltworks", "avgFps", "pilot"],
      ["saltworks", "low1Fps", "stated"],
      ["saltworks", "cpuPowerW", "stated"],
    ]);
  });

  test("leaves out what the session sets aside, unless all is to be kept", async () => {
    put(folder, "session.yaml", "set-aside:\n  - { pass: saltworks/stock/pass-2, why: an update ran }\n");
    expect((await planOf(folder, {})).pilot).toEqual({ passes: 12, counted: 11 });
    expect((await planOf(folder, { keepAll: false })).pilot).toEqual({ passes: 12, counted: 11 });
    expect((await planOf(folder, { keepAll: true })).pilot).toEqual({ passes: 12, counted: 12 });
  });

  test("leaves out a pass far from its cell, unless all is to be kept", async () => {
    for (const pass of [4, 5, 6]) put(folder, `saltworks/stock/pass-${pass}.csv`, logOf(20 + pass, 70));
    put(folder, "saltworks/stock/pass-7.csv", logOf(40, 35));
    expect((await planOf(folder, {})).pilot).toEqual({ passes: 16, counted: 15 });
    expect((await planOf(folder, { keepAll: true })).pilot).toEqual({ passes: 16, counted: 16 });
  });

  test("tells of logs that it could not read", async () => {
    put(folder, "saltworks/stock/pass-9.csv", "");
    const { plan, problems } = await planFolder(folder);
    expect(problems.map(({ code }) => code)).toEqual(["log-empty"]);
    expect(plan.pilot).toEqual({ passes: 12, counted: 12 });
  });

  test("takes a number for a name only where something is called so", async () => {
    const refused = await refusalOf(() => planFolder(folder, { games: ["3"] }));
    expect(refused).toEqual([clash(["--games 3", "a folder"], "the folder names them")]);
    expect(await refusalOf(() => planFolder(folder, { configs: ["12"] }))).toEqual([
      clash(["--configs 12", "a folder"], "the folder names them"),
    ]);
    const gamesOf = async (games: string[]) => (await planOf(folder, { games })).session.games;
    expect(await gamesOf(["3", "4"])).toEqual(["3", "4"]);
    // Too long for a number of games.
    expect(await gamesOf(["1234567"])).toEqual(["1234567"]);
    expect(await gamesOf(["saltworks"])).toEqual(["saltworks"]);
    expect(await gamesOf(["3b"])).toEqual(["3b"]);
    expect(await gamesOf(["b3"])).toEqual(["b3"]);
    put(folder, "3/stock/pass-1.csv", logOf(50, 90));
    expect(await gamesOf(["3"])).toEqual(["3"]);
    expect((await planOf(null, { ...stated, games: ["3"] })).session.games).toEqual(["3"]);
  });

  test("that shows no noise says how many passes a cell has at most", async () => {
    expect(await refusalOf(() => planFolder(folder, { metrics: ["cpuPowerW"] }))).toEqual([
      { ...noFile, code: "plan-noise-unknown", passes: 3 },
    ]);
    const single = makeFolder();
    for (const [i, config] of ["stock", "parked"].entries())
      put(single, `saltworks/${config}/pass-1.csv`, logOf(i + 1, 100));
    expect(await refusalOf(() => planFolder(single))).toEqual([
      { ...noFile, code: "plan-noise-unknown", passes: 1 },
    ]);
    // Known of one game and metric is enough.
    const { comparisons } = await planOf(single, { noise: ["saltworks: 1% low 2%"] });
    expect(comparisons.map(({ noiseFrom }) => noiseFrom)).toEqual([null, "stated"]);
  });

  test("whose passes are all set aside shows nothing", async () => {
    const single = makeFolder();
    for (const [i, config] of ["stock", "parked"].entries())
      put(single, `saltworks/${config}/pass-1.csv`, logOf(i + 1, 100));
    put(
      single,
      "session.yaml",
      ["stock", "parked"]
        .map((config) => `  - { pass: saltworks/${config}/pass-1, why: an update ran }`)
        .join("\n")
        .replace(/^/, "set-aside:\n"),
    );
    expect(await refusalOf(() => planFolder(single))).toEqual([
      { ...noFile, code: "plan-noise-unknown", passes: 0 },
    ]);
  });

  test("asks in following what its own first passes ask for", async () => {
    const { comparisons } = await planOf(folder, { metrics: ["avgFps"], leastPasses: 3 });
    const four = await planOf(folder, { metrics: ["avgFps"], leastPasses: 4, mostPasses: 4 });
    for (const { passesInFollow } of comparisons) expect(passesInFollow).toBeGreaterThanOrEqual(3);
    expect(four.comparisons.map(({ passesInFollow }) => passesInFollow)).toEqual([4, 4]);
  });

  describe("and its sheet", () => {
    test("keeps the session's layout, with boots where it has a place for them", async () => {
      put(folder, "session.yaml", 'layout: "{game}/{config}/{pass}"\n');
      const options = { metrics: ["avgFps"], passes: 2, sheet: true, games: ["saltworks"] } as const;
      const { sheet } = await planOf(folder, options);
      expect(sheet).toMatchObject({ layout: "{game}/{config}/{pass}", isLayoutNew: false });
      const booted = await planOf(folder, { ...options, boots: 2 });
      expect(booted.sheet).toMatchObject({ layout: "{game}/{config}/{boot}_{pass}", isLayoutNew: true });
    });

    test("of a layout with boots names the one boot as well", async () => {
      const other = makeFolder();
      let seed = 1;
      for (const config of ["stock", "parked"])
        for (const pass of [1, 2, 3]) put(other, `saltworks/${config}/b1/${pass}.csv`, logOf(seed++, 90));
      put(other, "session.yaml", 'layout: "{game}/{config}/{boot}/{pass}"\n');
      const { sheet } = await planOf(other, {
        noise: ["average FPS 1%"],
        metrics: ["avgFps"],
        passes: 2,
        boots: 1,
        sheet: true,
      });
      expect(sheet).toMatchObject({ layout: "{game}/{config}/{boot}/{pass}", isLayoutNew: false });
      const files = sheet?.steps.flatMap(({ file }) => file ?? []) ?? [];
      expect([...files].sort()).toEqual([
        "saltworks/parked/boot-1/pass-1.csv",
        "saltworks/parked/boot-1/pass-2.csv",
        "saltworks/stock/boot-1/pass-1.csv",
        "saltworks/stock/boot-1/pass-2.csv",
        "saltworks/stock/boot-2/pass-3.csv",
      ]);
    });

    test("is refused where a name would be read as another pass", async () => {
      const other = makeFolder();
      let seed = 1;
      for (const game of ["a", "a_b"])
        for (const config of ["b_c", "c"])
          for (const pass of [1, 2, 3]) put(other, `${game}/${config}/${pass}.csv`, logOf(seed++, 90));
      put(other, "planned.yaml", 'layout: "{game}_{config}_{pass}"\n');
      const options = { baseline: "c", metrics: ["avgFps"], passes: 2 } as const;
      // The layout of the folder reads it; that of the sheet would not.
      expect((await planOf(other, options)).session.games).toEqual(["a", "a_b"]);
      const stay = { noise: ["average FPS 1%"], games: ["a", "a_b"], configs: ["b_c", "c"] };
      const flat = makeFolder();
      put(flat, "x_y_1.csv", logOf(90, 90));
      put(flat, "x_z_1.csv", logOf(91, 90));
      put(flat, "session.yaml", 'layout: "{game}_{config}_{pass}"\n');
      const sheet = { ...options, ...stay, sheet: true };
      expect(await refusalOf(() => planFolder(flat, sheet))).toEqual([
        { ...noFile, code: "plan-file-unclear", layout: "{game}_{config}_{pass}" },
      ]);
    });
  });
});
