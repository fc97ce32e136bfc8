import { describe, expect, test } from "vitest";
import { compareBaselineBoots } from "../../src/judge/compare-boots.ts";
import { bootNoiseOf, doGamesShareBoots } from "../../src/judge/shared-boots.ts";
import { expectClose } from "../support/expect-close.ts";
import { passesOf, type TableRow } from "../support/session-fixtures.ts";

const row = (
  game: string,
  config: string,
  boot: string | null,
  log: number | null,
  pass = "1",
): TableRow => ({
  ...{ game, config, boot, pass },
  avgFps: log === null ? null : Math.exp(log),
});

describe("games that share boots", () => {
  test.for([
    {
      title: "two games of one boot",
      rows: [row("saltworks", "stock", "a", 4), row("kestrel-cup", "stock", "a", 4)],
      expected: true,
    },
    {
      title: "the third of three games",
      rows: [
        row("saltworks", "stock", "a", 4),
        row("kestrel-cup", "stock", "b", 4),
        row("tide-runner", "stock", "a", 4),
      ],
      expected: true,
    },
    {
      title: "a boot for each game",
      rows: [row("saltworks", "stock", "a", 4), row("kestrel-cup", "stock", "b", 4)],
      expected: false,
    },
    {
      title: "boots of two configs that have the same name",
      rows: [row("saltworks", "stock", "a", 4), row("kestrel-cup", "quiet", "a", 4)],
      expected: false,
    },
    {
      title: "one game",
      rows: [row("saltworks", "stock", "a", 4), row("saltworks", "stock", "a", 4, "2")],
      expected: false,
    },
    { title: "no passes", rows: [], expected: false },
  ])("$title: $expected", ({ rows, expected }) => {
    expect(doGamesShareBoots(passesOf(rows))).toBe(expected);
  });
});

describe("what boots shift in all games alike", () => {
  const rows = [
    // Logs 1 (of 0.5 and 1.5) and 3: shifts -1 and +1.
    ...[
      row("saltworks", "stock", "a", 0.5),
      row("saltworks", "stock", "a", 1.5, "2"),
      row("saltworks", "stock", "b", 3),
    ],
    // Shifts 0 and 0; the pass without a boot, and the one without the metric, say nothing.
    ...[row("kestrel-cup", "stock", "a", 2), row("kestrel-cup", "stock", "b", 2)],
    ...[row("kestrel-cup", "stock", null, 9), row("kestrel-cup", "stock", "b", null, "2")],
    // A third game with three boots: shifts -2, -1 and +3.
    ...[
      row("tide-runner", "stock", "a", 1),
      row("tide-runner", "stock", "b", 2),
      row("tide-runner", "stock", "c", 6),
    ],
    ...[row("saltworks", "quiet", "a", 1), row("saltworks", "quiet", "b", 1.5)],
  ];
  const noise: ReturnType<typeof bootNoiseOf> = (...asked) => bootNoiseOf(passesOf(rows))(...asked);

  // By hand: the variance of the boots' mean shifts, by the number of boots.
  test.for([
    // Shifts -0.5 and 0.5.
    { config: "stock", games: ["saltworks", "kestrel-cup"], variance: 0.5 / 2, df: 1 },
    { config: "stock", games: ["saltworks"], variance: 2 / 2, df: 1 },
    // Shifts -1, 0 and 3: mean 2/3.
    { config: "stock", games: ["saltworks", "kestrel-cup", "tide-runner"], variance: 26 / 3 / 2 / 3, df: 2 },
    { config: "quiet", games: ["saltworks", "kestrel-cup"], variance: 0.125 / 2, df: 1 },
  ])("of $config over $games", ({ config, games, variance, df }) => {
    const term = noise(config, games, "avgFps");
    expectClose(term?.variance, variance, 1e-12);
    expect(term?.df).toBe(df);
  });

  test.for([
    {
      title: "a game that the config does not have",
      config: "quiet",
      games: ["kestrel-cup"],
      metric: "avgFps",
    },
    { title: "no games", config: "stock", games: [], metric: "avgFps" },
    { title: "a config that is not there", config: "loud", games: ["saltworks"], metric: "avgFps" },
  ] as const)("is not known of $title", ({ config, games, metric }) => {
    expect(noise(config, games, metric)).toBeNull();
  });

  test("is not known of a single boot, nor where each game has boots of its own", () => {
    const single = bootNoiseOf(
      passesOf([row("saltworks", "stock", "a", 1), row("kestrel-cup", "stock", "a", 2)]),
    );
    expect(single("stock", ["saltworks", "kestrel-cup"], "avgFps")).toBeNull();
    const apart = bootNoiseOf(
      passesOf([row("saltworks", "stock", "a", 1), row("saltworks", "stock", "b", 2)]),
    );
    expect(apart("stock", ["saltworks"], "avgFps")).toBeNull();
  });
});

describe("the baseline's last boot against its first", () => {
  const cell = (game: string, boot: string | null, logs: readonly number[], config = "stock") =>
    logs.map((log, i) => row(game, config, boot, log, `${boot}-${i}`));
  const compare = (rows: readonly TableRow[], confidence = 0.95) =>
    compareBaselineBoots(passesOf(rows), "stock", confidence);
  const ln = (pct: number): number => Math.log1p(pct / 100);

  test("of one game is the difference of its passes, with Welch's interval", () => {
    const [own, ...others] = compare(
      [
        ...cell("saltworks", "boot-2", [4, 4.02, 4.04]),
        ...cell("saltworks", "boot-10", [4.1, 4.12, 4.14]),
        // Neither a boot in between, nor another config's, nor a pass without boot takes part.
        ...cell("saltworks", "boot-9", [6, 6.02]),
        ...cell("saltworks", null, [7, 7.02]),
        ...cell("saltworks", "boot-11", [8, 8.02], "quiet"),
      ],
      0.95,
    );
    expect(others).toEqual([]);
    expect(own).toMatchObject({ metric: "avgFps", first: "boot-2", last: "boot-10", games: 1 });
    // Equal variances of 4e-4, so Welch's df are 4; R 4.2.2 qt(0.975, 4) = 2.7764451051977934.
    const half = 2.7764451051977934 * Math.sqrt((2 * 4e-4) / 3);
    expectClose(ln(own?.changePct ?? 0), 0.1, 1e-12);
    expectClose(ln(own?.lowPct ?? 0), 0.1 - half, 1e-9);
    expectClose(ln(own?.highPct ?? 0), 0.1 + half, 1e-9);
  });

  test("of two games is their mean, with the interval for exactly these games", () => {
    const [own] = compare(
      [
        ...cell("saltworks", "a", [4, 4.02, 4.04]),
        ...cell("saltworks", "b", [4.1, 4.12, 4.14]),
        ...cell("kestrel-cup", "a", [5, 5.02, 5.04]),
        ...cell("kestrel-cup", "b", [5.3, 5.32, 5.34]),
        // A game that only one of the two boots has.
        ...cell("tide-runner", "b", [5, 5.1]),
      ],
      0.9,
    );
    expect(own?.games).toBe(2);
    // Variances of 8e-4 / 3 with 4 df each: their sum has 8; R 4.2.2 qt(0.95, 8) = 1.8595480375308966.
    const half = (1.8595480375308966 * Math.sqrt((2 * 8e-4) / 3)) / 2;
    expectClose(ln(own?.changePct ?? 0), 0.2, 1e-12);
    expectClose(ln(own?.lowPct ?? 0), 0.2 - half, 1e-9);
    expectClose(ln(own?.highPct ?? 0), 0.2 + half, 1e-9);
  });

  test("is told for the average and the 1% low", () => {
    const rows = [...cell("saltworks", "a", [4, 4.02]), ...cell("saltworks", "b", [4.1, 4.12])].map(
      (own) => ({
        ...own,
        low1Fps: 0.7 * (own.avgFps ?? 0),
        low01Fps: 0.5 * (own.avgFps ?? 0),
      }),
    );
    expect(compare(rows).map(({ metric }) => metric)).toEqual(["avgFps", "low1Fps"]);
  });

  test.for([
    { title: "one boot", rows: cell("saltworks", "a", [4, 4.02]) },
    { title: "no boots known", rows: cell("saltworks", null, [4, 4.02]) },
    {
      title: "no game in both boots",
      rows: [...cell("saltworks", "a", [4, 4.1]), ...cell("kestrel-cup", "b", [4, 4.1])],
    },
    {
      title: "one pass in each, so that nobody knows the noise",
      rows: [...cell("saltworks", "a", [4]), ...cell("saltworks", "b", [4.1])],
    },
    { title: "no passes", rows: [] },
    {
      title: "two games, of one of which nobody knows the noise",
      rows: [
        ...[...cell("saltworks", "a", [4, 4.02]), ...cell("saltworks", "b", [4.1, 4.12])],
        ...[...cell("kestrel-cup", "a", [4]), ...cell("kestrel-cup", "b", [4.1])],
      ],
    },
  ])("is not told of $title", ({ rows }) => {
    expect(compare(rows)).toEqual([]);
  });
});
