import { describe, expect, test } from "vitest";
import { guessLayout } from "../../src/read/guess-layout.ts";
import { defaultLayout } from "../../src/read/layout.ts";

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
  ])("$pattern", ({ pattern, files }) => {
    expect(guessLayout(files).pattern).toBe(pattern);
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
      it: "where names tell all, but lie in folders that may mean something too",
      files: logs("old/tide_quiet_1.csv", "old/tide_quiet_2.csv", "old/tide_full_1.csv"),
    },
    {
      it: "where one name fits in no way",
      files: logs("tide_quiet_1.csv", "tide_quiet_2.csv", "tide_full_1.csv", "notes.txt"),
    },
    {
      it: "where one name could be read in two ways",
      files: logs("tide_quiet_1.csv", "tide_quiet_2.csv", "tide_full_1.csv", "the_mill_full_1.csv"),
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
    expect(guessLayout(files)).toBe(defaultLayout);
  });
});

test("logs that lie at different depths are arranged by the least deep ones", () => {
  const files = logs("more/tide_quiet_1.csv", "tide_quiet_2.csv", "tide_full_1.csv");
  expect(guessLayout(files).pattern).toBe("{game}_{config}_{pass}");
});
