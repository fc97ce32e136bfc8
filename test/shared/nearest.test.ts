import { expect, test } from "vitest";
import { nearestName } from "../../src/shared/nearest.ts";

const keys = ["title", "lows", "log", "false-alarm-control", "frame-time", "set-aside"];

test.for([
  { wanted: "frameTime", names: keys, nearest: "frame-time", because: "only its spelling differs" },
  { wanted: "SET ASIDE", names: keys, nearest: "set-aside", because: "only its spelling differs" },
  { wanted: "titel", names: keys, nearest: "title", because: "two letters are swapped" },
  { wanted: "logs", names: keys, nearest: "log", because: "an ending outweighs another letter" },
  { wanted: "m", names: ["s", "ms"], nearest: "ms", because: "a name with no letter in common is not near" },
  { wanted: "colour", names: keys, nearest: null, because: "nothing is near" },
  { wanted: "", names: keys, nearest: null, because: "nothing was meant" },
  { wanted: "log", names: [], nearest: null, because: "there is nothing" },
  { wanted: "ab", names: ["ac", "ad"], nearest: "ac", because: "of equally near names the first is taken" },
  {
    wanted: "x".repeat(100_000),
    names: ["y".repeat(100_000)],
    nearest: null,
    because: "long names cost too much",
  },
])("for $wanted the nearest is $nearest: $because", ({ wanted, names, nearest }) => {
  expect(nearestName(wanted, names)).toBe(nearest);
});

// Common worked example of edit distance: kitten to sitting takes 3 changes (from memory), more than a third of 7.
test("a name is near up to about a third of its letters", () => {
  expect(nearestName("kitten", ["sitting"])).toBeNull();
  expect(nearestName("kitten", ["sitten"])).toBe("sitten");
});
