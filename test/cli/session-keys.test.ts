import { describe, expect, test } from "vitest";
import { makeFolder, makeLog, put, runCli } from "../support/run-cli.ts";

const judge = (folder: string) => {
  const { status, stdout, stderr } = runCli(["judge", folder, "--format", "json"]);
  expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
  return JSON.parse(stdout);
};

describe("what session.yaml says reaches the judgement", () => {
  test("levels of a crossing give each factor's effect and the interaction", () => {
    const folder = makeFolder();
    let seed = 1;
    for (const game of ["tide-runner", "saltworks", "kestrel-cup"]) {
      for (const [config, fps] of [
        ["stock", 120],
        ["no-threads", 110],
        ["parked", 118],
        ["both", 108],
      ] as const) {
        for (const pass of [1, 2, 3]) put(folder, `${game}/${config}/pass-${pass}.csv`, makeLog(seed++, fps));
      }
    }
    put(
      folder,
      "session.yaml",
      `configs:
  stock: { levels: { threads: "on", cores: all } }
  no-threads: { levels: { threads: "off", cores: all } }
  parked: { levels: { threads: "on", cores: parked } }
  both: { levels: { threads: "off", cores: parked } }
`,
    );
    const { factors } = judge(folder);
    const threads = factors.find(
      (row: { metric: string; level: string }) => row.metric === "avgFps" && row.level === "off",
    );
    expect(threads).toMatchObject({ factors: ["threads"], againstLevel: "on", games: 3, verdict: "lower" });
    expect(factors.filter((row: { metric: string }) => row.metric === "avgFps")).toHaveLength(3);
    const table = runCli(["judge", folder]).stdout;
    expect(table).toMatch(/- threads: off against on: average FPS lower -8/);
  });

  test("boots in the path are the level of noise where every config has two", () => {
    const folder = makeFolder();
    let seed = 100;
    for (const [config, boots] of [
      ["stock", [120, 121.5]],
      ["parked", [119.2, 120.4]],
    ] as const) {
      for (const [b, fps] of boots.entries()) {
        for (const pass of [1, 2])
          put(folder, `saltworks/${config}/boot-${b + 1}/pass-${pass}.csv`, makeLog(seed++, fps));
      }
    }
    put(folder, "session.yaml", 'layout: "{game}/{config}/{boot}/{pass}"\n');
    const { session, verdicts, passes, cautions } = judge(folder);
    expect(session.noiseLevel).toBe("boot");
    expect(verdicts[0]).toMatchObject({ passes: 2, againstPasses: 2 });
    expect(passes[0]).toMatchObject({ boot: "boot-1" });
    expect(cautions.map(({ code }: { code: string }) => code)).not.toContain("one-boot");
  });

  test("tags, the window, the margin and passes set aside", () => {
    const folder = makeFolder();
    let seed = 200;
    for (const game of ["tide-runner", "saltworks", "kestrel-cup"]) {
      for (const config of ["stock", "parked"]) {
        for (const pass of [1, 2, 3])
          put(folder, `${game}/${config}/pass-${pass}.csv`, makeLog(seed++, 100, 1500));
      }
    }
    put(
      folder,
      "session.yaml",
      `title: Three games
baseline: parked
matters: 5%
confidence: 90%
trim: { skip: 1s, keep: 11s }
games:
  tide-runner: { tags: [racing] }
  kestrel-cup: { tags: [racing] }
set-aside:
  - { pass: saltworks/stock/pass-2, why: "launcher updated itself" }
`,
    );
    const { session, suite, passes } = judge(folder);
    expect(session).toMatchObject({
      title: "Three games",
      baseline: "parked",
      mattersPct: 5,
      confidencePct: 90,
    });
    expect(suite.map(({ tag }: { tag: string | null }) => tag)).toContain("racing");
    for (const pass of passes) expect(pass.seconds).toBeGreaterThan(10.9);
    for (const pass of passes) expect(pass.seconds).toBeLessThanOrEqual(11);
    const aside = passes.filter(({ counted }: { counted: boolean }) => !counted);
    expect(aside).toMatchObject([
      {
        game: "saltworks",
        config: "stock",
        pass: "pass-2",
        notCountedBecause: "set aside by the session: launcher updated itself",
      },
    ]);
    // What is asked for on the command line wins.
    const asked = JSON.parse(
      runCli(["judge", folder, "--format", "json", "--baseline", "stock", "--matters", "2"]).stdout,
    );
    expect(asked.session).toMatchObject({ baseline: "stock", mattersPct: 2, confidencePct: 90 });
    expect(
      JSON.parse(runCli(["judge", folder, "--format", "json", "--keep-all"]).stdout).passes.every(
        ({ counted }: { counted: boolean }) => counted,
      ),
    ).toBe(true);
  });

  test("each game's stream and each restarted pass's stretch, by the very lines that the questions show", () => {
    const folder = makeFolder();
    let seed = 300;
    for (const game of ["tide-runner", "saltworks"]) {
      for (const config of ["stock", "parked"]) {
        for (const pass of [1, 2]) {
          const log = twoPrograms(game, makeLog(seed++, 100), makeLog(seed++, 60));
          put(folder, `${game}/${config}/pass-${pass}.csv`, log);
        }
      }
    }
    put(folder, "kestrel-cup/stock/pass-1.csv", makeLog(1, 90, 300) + makeLog(2, 90, 1200));
    put(folder, "kestrel-cup/stock/pass-2.csv", makeLog(3, 90, 1100) + makeLog(4, 90, 200));
    put(folder, "kestrel-cup/parked/pass-1.csv", makeLog(5, 90));
    const { stderr } = runCli(["judge", folder]);
    const lines = [...stderr.matchAll(/log: \{ for: \{ (.+) \} \}/g)].map((match) => match[1] as string);
    const right = [
      /equals: "(?:tide-runner|saltworks)\.exe"/,
      /pass-1": \{ segment: 2 \}/,
      /pass-2": \{ segment: 1 \}/,
    ];
    const chosen = new Set(lines.filter((line) => right.some((pattern) => pattern.test(line))));
    put(folder, "session.yaml", `log:\n  for:\n${[...chosen].map((line) => `    ${line}\n`).join("")}`);
    expect(chosen.size).toBe(4);
    const { passes } = judge(folder);
    const frames = (game: string) =>
      passes
        .filter((pass: { game: string }) => pass.game === game)
        .map((pass: { frames: number }) => pass.frames);
    expect(frames("tide-runner")).toEqual([1200, 1200, 1200, 1200]);
    expect(frames("saltworks")).toEqual([1200, 1200, 1200, 1200]);
    expect(frames("kestrel-cup")).toEqual([1200, 1200, 1100]);
  });

  test("names that tell other games than the folders stop the run, and the lines shown decide", () => {
    const folder = makeFolder();
    let seed = 400;
    for (const game of ["tide-runner", "salt-works"]) {
      for (const config of ["stock", "smt-off"]) {
        for (const pass of [1, 2]) put(folder, `${config}/${game}-${pass}.csv`, makeLog(seed++, 100));
        put(folder, `${config}/notes.txt`, "after the update\n");
      }
    }
    const { status, stdout, stderr } = runCli(["judge", folder]);
    expect({ status, stdout }).toEqual({ status: 2, stdout: "" });
    expect(stderr).toContain(
      '8 passes of 2 games ("salt-works" and "tide-runner") under 2 configs ("smt-off" and "stock")',
    );
    const said = [...stderr.matchAll(/^ {4}((?:layout|games|configs): .+)$/gm)].map((match) => match[1]);
    expect(said).toEqual([
      'layout: "{config}/{game}-{pass}"',
      'games: { "salt-works": {}, "tide-runner": {} }',
      'configs: { "smt-off": {}, "stock": {} }',
      'layout: "{game}/{config}/{pass}"',
    ]);
    put(folder, "session.yaml", `${said.slice(0, 3).join("\n")}\n`);
    expect(JSON.parse(runCli(["judge", folder, "--format", "json"]).stdout).session).toMatchObject({
      games: ["salt-works", "tide-runner"],
      baseline: "stock",
    });
    put(folder, "session.yaml", `${said[3]}\n`);
    expect(JSON.parse(runCli(["judge", folder, "--format", "json"]).stdout).session.games).toHaveLength(1);
  });
});

/** Frames of a game and of another program on one clock, as one log. */
function twoPrograms(game: string, own: string, other: string): string {
  const rows = (name: string, log: string): string[][] =>
    log
      .trim()
      .split("\n")
      .slice(1)
      .map((row) => [name, ...row.split(",").slice(1)]);
  const mixed = [...rows(`${game}.exe`, own), ...rows("shell.exe", other)].sort(
    (a, b) => Number(a[1]) - Number(b[1]),
  );
  return `${["program,elapsed_s,frame_time_ms", ...mixed.map((row) => row.join(","))].join("\n")}\n`;
}
