import { expect, test } from "vitest";
import { parseLayout, placeLog } from "../../src/read/layout.ts";

const { layout } = parseLayout("{game}/{config}/{cap}/{pass}");
const place = (cap: string) =>
  placeLog(["saltworks", "quiet-35w", cap, "pass-1.csv"], layout ?? undefined).place;

test.for([
  { cap: "120", fps: 120 },
  { cap: "120fps", fps: 120 },
  { cap: "59.94 FPS", fps: 59.94 },
  { cap: "1000-fps", fps: 1000 },
  { cap: "0.125", fps: 0.125 },
])("$cap is a cap, and passes under it are a config of their own", ({ cap, fps }) => {
  expect(place(cap)).toEqual({
    ...{ game: "saltworks", config: `quiet-35w-cap-${fps}`, pass: "pass-1", boot: null },
    cap: { fps, of: "quiet-35w" },
  });
});

test.for(["uncapped", "none", "off", "OFF", "no-cap", "nocap", "0"])("%s is no cap", (cap) => {
  expect(place(cap)).toEqual({ game: "saltworks", config: "quiet-35w", pass: "pass-1", boot: null });
});

test.for(["fast", "-5", "1e3", "0.0", "120x", "x120", "12345", "not off", "offline"])(
  "%s is not guessed at",
  (cap) => {
    expect(placeLog(["saltworks", "quiet-35w", cap, "pass-1.csv"], layout ?? undefined)).toMatchObject({
      place: null,
      finding: { code: "layout-no-match" },
    });
  },
);

test.for([
  { pattern: "{config}/{game}_{cap}_{pass}", name: "tide_runner_120fps_1", game: "tide_runner", pass: "1" },
  { pattern: "{config}/{game}_{cap}_{pass}", name: "a_b_c_120_x_y", game: "a_b_c", pass: "x_y" },
  {
    pattern: "{config}/{pass}-{cap}-{game}",
    name: "late-run-120-tide-runner",
    game: "tide-runner",
    pass: "late-run",
  },
])("the text that is a cap is found among names that hold what parts them: $name", (row) => {
  const read = parseLayout(row.pattern).layout ?? undefined;
  const { game, pass } = row;
  expect(placeLog(["quiet-35w", `${row.name}.csv`], read)).toEqual({
    place: { game, pass, config: "quiet-35w-cap-120", boot: null, cap: { fps: 120, of: "quiet-35w" } },
    finding: null,
  });
});

test("two texts that could be the cap are asked about", () => {
  const read = parseLayout("{config}/{game}_{cap}_{pass}").layout ?? undefined;
  expect(placeLog(["quiet-35w", "saltworks_120_60_1.csv"], read).finding).toMatchObject({
    code: "layout-unclear",
    readings: [
      { game: "saltworks", pass: "60_1", cap: { fps: 120 } },
      { game: "saltworks_120", pass: "1", cap: { fps: 60 } },
    ],
  });
});
