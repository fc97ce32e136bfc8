import { expect, test } from "vitest";
import { listPasses } from "../../src/judge/list-passes.ts";
import { passesOf } from "../support/session-fixtures.ts";

/** Three cells of four passes, hardly any noise; one pass at half the pace. */
const passes = passesOf(
  ["saltworks", "kestrel-cup", "tide-runner"].flatMap((game) =>
    [4, 3, 2, 1].map((i) => {
      const isSlow = game === "saltworks" && i === 2;
      const avgFps = (isSlow ? 50 : 100) + 0.1 * i;
      return { game, config: "stock", pass: `pass-${i}`, avgFps, low1Fps: 0.7 * avgFps };
    }),
  ),
);
const setAside = [
  { game: "tide-runner", config: "stock", boot: null, pass: "pass-4", why: "updated itself" },
];
const notCounted = (keepAll: boolean) =>
  listPasses(passes, { keepAll, setAside }).flatMap(({ game, pass, counted }) =>
    counted ? [] : [`${game}/${pass}`],
  );

test("passes stand in session order, whatever order they came in", () => {
  const listed = listPasses(passes, { keepAll: false, setAside });
  expect(listed.map(({ game, pass }) => `${game}/${pass}`)).toEqual(
    ["kestrel-cup", "saltworks", "tide-runner"].flatMap((game) =>
      [1, 2, 3, 4].map((i) => `${game}/pass-${i}`),
    ),
  );
});

test("what the screen finds and what the session lists does not count, unless all are kept", () => {
  expect(notCounted(false)).toEqual(["saltworks/pass-2", "tide-runner/pass-4"]);
  expect(notCounted(true)).toEqual([]);
});
