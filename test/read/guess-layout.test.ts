import { describe, expect, test } from "vitest";
import { guessLayout } from "../../src/read/guess-layout.ts";
import { defaultLayout, placeLog } from "../../src/read/layout.ts";

const logs = (...files: readonly string[]) => files.map((file) => file.split("/"));

describe("the arrangement of a folder is told by how its logs are named", () => {
  test.for([
    {
      pattern: "{game}/{config}_{pass}",
      files: logs("tide/quiet_1.csv", "tide/quiet_2.csv", "tide/full_1.csv", "tide/full_2.csv"),
    },
    {
      pattern: "{game}/{config} {pass}",
      files: logs("tide/quiet 1.csv", "tide/quiet 2.csv", "tide/full 1.csv"),
    },
    {
      pattern: "{game}_{config}_{pass}",
      files: logs("tide_quiet_1.csv", "tide_quiet_2.csv", "tide_full_1.csv", "moss_full_1.csv"),
    },
    {
      pattern: "{game} - {config} - {pass}",
      files: logs("Tide Runner - quiet - 1.csv", "Tide Runner - quiet - 2.csv", "Tide Runner - full - 1.csv"),
    },
    {
      pattern: "{game}.{config}.{pass}",
      files: logs("tide.quiet.1.csv", "tide.quiet.2.csv", "tide.full.1.csv"),
    },
    {
      pattern: "{game} {config} {pass}",
      files: logs("tide quiet 1.csv", "tide quiet 2.csv", "tide full 1.csv"),
    },
    {
      pattern: "{game}-{config}-{pass}",
      files: logs("tide-quiet-1.csv", "tide-quiet-2.csv", "tide-full-1.csv"),
    },
    {
      pattern: "{game}_{config}_{pass}",
      files: logs("old/tide_quiet_1.csv", "old/tide_quiet_2.csv", "old/tide_full_1.csv"),
    },
  ])("$pattern", ({ pattern, files }) => {
    expect(guessLayout(files).layout.pattern).toBe(pattern);
  });
});

describe("the usual arrangement is kept", () => {
  test.for([
    { it: "without any log", files: logs() },
    {
      it: "where all logs lie in folders of game and config",
      files: logs("tide/quiet/a_1.csv", "tide/quiet/a_2.csv", "tide/full/b_1.csv"),
    },
    {
      it: "where logs lie deeper still",
      files: logs("old/tide/quiet/1.csv", "old/tide/quiet/2.csv", "old/tide/full/1.csv"),
    },
    {
      it: "where one name fits in no way",
      files: logs("tide_quiet_1.csv", "tide_quiet_2.csv", "tide_full_1.csv", "notes.txt"),
    },
    {
      it: "where there would be one config only",
      files: logs("tide_quiet_1.csv", "tide_quiet_2.csv", "moss_quiet_1.csv", "moss_quiet_2.csv"),
    },
    {
      it: "where no config would have a second pass",
      files: logs("tide_quiet_1.csv", "tide_full_1.csv", "moss_quiet_1.csv"),
    },
    {
      it: "where the same config of another game is no second pass",
      files: logs("tide_quiet_1.csv", "moss_quiet_1.csv", "tide_full_1.csv", "moss_full_1.csv"),
    },
  ])("$it", ({ files }) => {
    expect(guessLayout(files).layout).toBe(defaultLayout);
  });
});

test("logs that lie at different depths are arranged by the least deep ones", () => {
  const files = logs("more/tide_quiet_1.csv", "tide_quiet_2.csv", "tide_full_1.csv");
  expect(guessLayout(files).layout.pattern).toBe("{game}_{config}_{pass}");
});

/** Every game under every config, passes 1 to 4. */
function session(
  games: readonly string[],
  configs: readonly string[],
  name: (game: string, config: string, pass: number) => string,
): string[][] {
  return games.flatMap((game) =>
    configs.flatMap((config) => [1, 2, 3, 4].map((pass) => `top/${name(game, config, pass)}.csv`.split("/"))),
  );
}

const baselines = (names: readonly string[]) =>
  new Set(names.filter((name) => /^stock$/i.test(name))).size === 1;
const games = ["tide-runner", "moss"] as const;
const configs = ["stock", "quiet-35w"] as const;

describe("names are taken apart by what repeats in them, whatever stands in them", () => {
  test.for<{ pattern: string; name: (game: string, config: string, pass: number) => string }>([
    { pattern: "{game}-{config}-{pass}", name: (game, config, pass) => `${game}-${config}-${pass}` },
    { pattern: "{game}-{config}-{pass}", name: (game, config, pass) => `${game}-${config}-pass-0${pass}` },
    {
      pattern: "{game} - {config} - {pass}",
      name: (game, config, pass) => `${game} - ${config} - run ${pass}`,
    },
    {
      pattern: "{game}_{config}_{pass}",
      name: (game, config, pass) => `${game}_${config}_2026-03-0${pass}_21-14-44`,
    },
    {
      pattern: "{game}_{config} {pass}",
      name: (game, config, pass) => `${game}_${config} 2026.03.01 - 21.1${pass}`,
    },
    {
      pattern: "{pass}_{game}_{config}",
      name: (game, config, pass) => `20260301-211${pass}_${game}_${config}`,
    },
    { pattern: "{pass}_{game}_{config}", name: (game, config, pass) => `run${pass}_${game}_${config}` },
    { pattern: "{config}_{game}_{pass}", name: (game, config, pass) => `${config}_${game}_${pass}` },
    {
      pattern: "{game}_{config}_{boot}_{pass}",
      name: (game, config, pass) => `${game}_${config}_b${1 + (pass >> 1)}_r${pass % 2}`,
    },
    {
      pattern: "{boot}/{game}_{config}_{pass}",
      name: (game, config, pass) => `2026-03-0${1 + (pass >> 1)}/${game}_${config}_${pass % 2}`,
    },
    { pattern: "{game}_{config}_{pass}", name: (game, config, pass) => `${game}/${game}_${config}_${pass}` },
    {
      pattern: "{config}/{game}_{pass}",
      name: (game, config, pass) => `${config}/${game}_20260301-211${pass}`,
    },
    { pattern: "{game}/{config}_{pass}", name: (game, config, pass) => `${game}/${config}_${pass}` },
    { pattern: "{game}/{pass}_{config}", name: (game, config, pass) => `${game}/pass-${pass}_${config}` },
    { pattern: "{game}_{config}/{pass}", name: (game, config, pass) => `${game}_${config}/pass-${pass}` },
    { pattern: "{config}/{game}/{pass}", name: (game, config, pass) => `${config}/${game}/pass-${pass}` },
    {
      pattern: "{game}/{config}/{boot}/{pass}",
      name: (game, config, pass) => `${game}/${config}/boot-${1 + (pass >> 1)}/${pass % 2}`,
    },
    {
      pattern: "{game}/{boot}/{config}/{pass}",
      name: (game, config, pass) => `${game}/2026-03-0${1 + (pass >> 1)}/${config}/${pass % 2}`,
    },
    {
      pattern: "{boot}/{game}/{config}/{pass}",
      name: (game, config, pass) => `2026-03-0${1 + (pass >> 1)}/${game}/${config}/${pass % 2}`,
    },
    {
      pattern: "{game}/{config}/{pass}/frames",
      name: (game, config, pass) => `${game}/${config}/run ${pass}/frames`,
    },
    {
      pattern: "{game}/{config}/{pass}",
      name: (game, config, pass) => `2026-03-0${1 + (pass >> 1)}/${game}/${config}/${pass}`,
    },
    {
      pattern: "{game}/{config}/{pass}",
      name: (game, config, pass) => `${game}/${config}/${game}_${config}_${pass}`,
    },
  ])("$pattern", ({ pattern, name }) => {
    const guess = guessLayout(session(games, configs, name), 1, baselines);
    expect(guess.layout.pattern).toBe(pattern);
    expect(guess.how).toBe(pattern === defaultLayout.pattern ? "usual" : "told");
  });

  test("games and configs that take the names apart are told with the pattern", () => {
    const files = logs("tide_quiet_1.csv", "tide_quiet_2.csv", "tide_full_1.csv", "the_mill_full_1.csv");
    const { layout, known } = guessLayout(files);
    expect(layout.pattern).toBe("{game}_{config}_{pass}");
    expect(known).toEqual({ games: ["tide", "the_mill"], configs: ["quiet", "full"] });
    expect(placeLog(["the_mill_full_1.csv"], layout, known).place).toMatchObject({ game: "the_mill" });
  });

  test("where the folder itself is the game, its logs' names begin with the config", () => {
    const files = session(["-"], ["stock", "full"], (_, config, pass) => `${config}_${pass}`);
    expect(guessLayout(files, 1, baselines).layout.pattern).toBe("{game}/{config}_{pass}");
  });

  test("numbers may be configs: the pass is what leaves games and configs", () => {
    const files = session(
      ["tide", "moss"],
      ["65", "100"],
      (game, config, pass) => `${game}_${config}_${pass}`,
    );
    expect(guessLayout(files, 1).known).toEqual({ games: ["tide", "moss"], configs: ["65", "100"] });
  });

  test("configs may be called after days, as drivers are", () => {
    const days = session(
      ["tide"],
      ["2026-03-01", "2026-04-01"],
      (game, config, pass) => `${game}/${config}/${pass}`,
    );
    expect(guessLayout(days, 1, baselines)).toMatchObject({ layout: defaultLayout, how: "usual" });
  });

  test.for([
    {
      it: "letters for passes",
      files: session(games, configs, (game, config, pass) => `${game}_${config}_${"abcd"[pass - 1]}`),
    },
    {
      it: "copies that only some names tell",
      files: session(
        games,
        configs,
        (game, config, pass) => `${game}_${config}${pass === 1 ? "" : ` (${pass})`}`,
      ),
    },
    {
      it: "a folder and a file of its own for each pass",
      files: session(games, configs, (game, config, pass) => `${game}/${config}/run ${pass}/log-${pass}`),
    },
  ])("$it leave it unclear", ({ files }) => {
    expect(guessLayout(files, 1, baselines)).toMatchObject({ layout: defaultLayout, how: "unclear" });
  });
});
