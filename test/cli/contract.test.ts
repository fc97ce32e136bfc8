import { beforeAll, describe, expect, test } from "vitest";
import { runCli } from "../support/run-cli.ts";

/*
 * The data contract: the keys that other programs rely on. Keys may be added; none may go or change its kind.
 */
const passKeys = {
  game: "string",
  config: "string",
  pass: "string",
  file: "string",
  frames: "number",
  seconds: "number",
  avgFps: "figure",
  low1Fps: "figure",
  low01Fps: "figure",
  cpuPowerW: "figure",
  gpuPowerW: "figure",
  fpsPerWatt: "figure",
  joulesPerFrame: "figure",
  cpuClockMhz: "figure",
  counted: "boolean",
  flags: "object",
} as const;
const verdictKeys = {
  game: "string",
  config: "string",
  against: "string",
  metric: "string",
  value: "number",
  againstValue: "number",
  changePct: "number",
  lowPct: "figure",
  highPct: "figure",
  p: "figure",
  pAdjusted: "figure",
  verdict: "string",
  resolvesPct: "figure",
  passesNeeded: "figure",
  passes: "number",
  againstPasses: "number",
  holdsWithAllPasses: "boolean",
} as const;
const suiteKeys = {
  config: "string",
  against: "string",
  metric: "string",
  games: "number",
  changePct: "number",
  lowPct: "number",
  highPct: "number",
  theseGamesLowPct: "number",
  theseGamesHighPct: "number",
  p: "number",
  pAdjusted: "number",
  verdict: "string",
  counts: "object",
  gamesDiffer: "object",
} as const;

type Row = Record<string, unknown>;

function expectKeys(rows: readonly Row[], keys: Readonly<Record<string, string>>): void {
  expect(rows.length).toBeGreaterThan(0);
  for (const row of rows) {
    for (const [key, kind] of Object.entries(keys)) {
      const value = row[key];
      if (kind === "figure" && value === null) continue;
      expect(typeof value, key).toBe(kind === "figure" ? "number" : kind);
    }
  }
}

describe("judge --format json", () => {
  let judgement: Record<string, Row[]> & { format: string; session: Row };
  let text = "";
  beforeAll(() => {
    text = runCli(["judge", "demo-data", "--format", "json"]).stdout;
    judgement = JSON.parse(text);
  });

  test("names its format and the session's settings", () => {
    expect(judgement.format).toBe("runjury.judgement/1");
    expect(judgement.session).toMatchObject({
      title: "Living-room PC, three power limits",
      baseline: "balanced-54w",
      lows: "percentile",
      mattersPct: 3,
      confidencePct: 95,
      falseAlarmControl: "columns",
      configs: ["balanced-54w", "full-65w", "quiet-35w"],
    });
    expect(judgement.session.games).toHaveLength(6);
  });

  test("has every key of passes, verdicts and suite, a figure that does not exist being null", () => {
    expectKeys(judgement.passes ?? [], passKeys);
    expectKeys(judgement.verdicts ?? [], verdictKeys);
    expectKeys(judgement.suite ?? [], suiteKeys);
    expect(text).not.toMatch(/NaN|Infinity/);
  });

  test("says of every pass that does not count why, and of every flag and caution its code and words", () => {
    for (const pass of judgement.passes ?? []) {
      if (pass.counted === false) expect(pass.notCountedBecause).toMatch(/\S/);
      for (const flag of pass.flags as Row[]) {
        expect(flag.code).toMatch(/^[a-z-]+$/);
        expect(["note", "warning", "bad"]).toContain(flag.severity);
        expect(flag.text).toMatch(/\S/);
      }
    }
    for (const caution of judgement.cautions ?? []) {
      expect(caution.code).toMatch(/^[a-z-]+$/);
      expect(caution.text).toMatch(/\S/);
    }
  });

  test("is the same bytes again and again, in any time zone", () => {
    expect(runCli(["judge", "demo-data", "--format", "json"]).stdout).toBe(text);
    const elsewhere = runCli(["judge", "demo-data", "--format", "json"], {
      env: { PATH: process.env.PATH, TZ: "Asia/Kolkata", LC_ALL: "de_DE.UTF-8", LANG: "de_DE.UTF-8" },
    });
    expect(elsewhere.stdout).toBe(text);
  });
});

test("passes --format json has the same rows as the judgement", () => {
  const passes = JSON.parse(runCli(["passes", "demo-data", "--format", "json"]).stdout);
  const judgement = JSON.parse(runCli(["judge", "demo-data", "--format", "json"]).stdout);
  expect(passes.format).toBe("runjury.passes/1");
  expect(passes.passes).toEqual(judgement.passes);
});

test("--only shows less and concludes the same", () => {
  const whole = JSON.parse(runCli(["judge", "demo-data", "--format", "json"]).stdout);
  const part = JSON.parse(
    runCli(["judge", "demo-data", "--format", "json", "--only", "saltworks", "quiet-35w"]).stdout,
  );
  const isShown = (row: Row) => row.game === "saltworks" && row.config === "quiet-35w";
  expect(part.verdicts).toEqual(whole.verdicts.filter(isShown));
  expect(part.verdicts.length).toBeGreaterThan(0);
});

test("the help of every command ends in examples", () => {
  const commands = [...runCli(["--help"]).stdout.matchAll(/^ {2}([a-z]+) \[options\]/gm)].map(
    ([, name]) => name,
  );
  expect(commands.length).toBeGreaterThan(10);
  for (const command of commands) {
    expect(runCli([command as string, "--help"]).stdout, `${command}: see cli/examples.ts`).toMatch(
      /\nExamples:\n {2}runjury /,
    );
  }
});
