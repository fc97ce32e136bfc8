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
