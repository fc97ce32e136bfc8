import { describe, expect, test } from "vitest";
import { cellKey, groupByCell, mapByCell } from "../../src/judge/cells.ts";
import { logOf } from "../../src/judge/log-scale.ts";
import { judgedPass, markPasses, passName, sortPasses } from "../../src/judge/mark-passes.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import type { Metric } from "../../src/shared/metrics.ts";
import { expectClose } from "../support/expect-close.ts";
import { makePass } from "../support/make-pass.ts";

const pass = (
  name: string,
  change: Partial<PassSummary> = {},
  values: Partial<Record<Metric, number>> = {},
) => {
  const [game, config, boot, own] = name.split("/") as [string, string, string, string];
  const place = { game, config, boot: boot === "" ? null : boot, pass: own };
  return { ...makePass(place, { avgFps: 100, low1Fps: 70, ...values }), fingerprint: name, ...change };
};
const codesOf = (marked: readonly { flags: readonly { code: string }[] }[]) =>
  marked.map(({ flags }) => flags.map(({ code }) => code));
const nothingListed = { keepAll: false, setAside: [] };

describe("the order and names of passes", () => {
  test("are by game, config, boot and pass, numbers by their size", () => {
    const inOrder = [
      "game-2/a//2",
      "game-2/a//10",
      "game-2/a/boot-2/1",
      "game-2/a/boot-10/1",
      "game-2/b//1",
      "game-10/a//1",
    ];
    const turned = [...inOrder].reverse().map((name) => pass(name));
    expect(sortPasses(turned).map(({ fingerprint }) => fingerprint)).toEqual(inOrder);
    expect(turned.map(({ fingerprint }) => fingerprint)).toEqual([...inOrder].reverse());
  });

  test("leave out a boot that is not known", () => {
    expect(passName(pass("saltworks/quiet//3"))).toBe("saltworks/quiet/3");
    expect(passName(pass("saltworks/quiet/b/3"))).toBe("saltworks/quiet/b/3");
  });

  test("cells are told apart whatever characters their names have", () => {
    expect(cellKey({ game: "a", config: "bc" })).not.toBe(cellKey({ game: "ab", config: "c" }));
    const passes = [pass("a/x//1"), pass("b/x//1"), pass("a/x/b/2"), pass("a/y//1")];
    const names = groupByCell(passes, (own) => own).map((cell) => cell.map(({ fingerprint }) => fingerprint));
    expect(names).toEqual([["a/x//1", "a/x/b/2"], ["b/x//1"], ["a/y//1"]]);
    expect(mapByCell(passes, (own) => own).get(cellKey({ game: "b", config: "x" }))).toEqual([passes[1]]);
  });
});

describe("the log of a figure", () => {
  test.for([
    [1, 0],
    [Math.E, 1],
    [0, null],
    [-2, null],
    [Number.NaN, null],
    [Number.POSITIVE_INFINITY, null],
    [null, null],
  ] as const)("of %s is %s", ([value, expected]) => {
    expect(logOf(value)).toBe(expected);
  });
});

describe("markPasses", () => {
  test("counts passes that nothing is said of", () => {
    expect(markPasses([pass("saltworks/quiet//1")], nothingListed, true)).toMatchObject([
      { flags: [], counted: true, screenP: null },
    ]);
    expect(markPasses([], nothingListed, true)).toEqual([]);
  });

  test("does not count a pass without frames, nor one that is no measurement; a note harms nothing", () => {
    const marked = markPasses(
      [
        pass("saltworks/quiet//1", { avgFps: null }),
        pass("saltworks/quiet//2", { flags: [{ code: "too-short", frames: 3, needed: 100 }] }),
        pass("saltworks/quiet//3", { flags: [{ code: "cut-short" }] }),
      ],
      nothingListed,
      true,
    );
    expect(marked.map(({ counted }) => counted)).toEqual([false, false, true]);
    expect(marked.map((own) => judgedPass(own).notCountedBecause === null)).toEqual([false, false, true]);
    expect(judgedPass(marked[0] as (typeof marked)[number]).notCountedBecause).toBe(
      "no frames were left to measure",
    );
  });

  test.for([
    {
      title: "every name",
      entry: { game: "saltworks", config: "quiet", boot: "a", pass: "1" },
      expected: [0],
    },
    {
      title: "no boot, which is any",
      entry: { game: "saltworks", config: "quiet", boot: null, pass: "1" },
      expected: [0, 1],
    },
    {
      title: "another game",
      entry: { game: "kestrel-cup", config: "quiet", boot: null, pass: "1" },
      expected: [],
    },
    {
      title: "another config",
      entry: { game: "saltworks", config: "full", boot: null, pass: "1" },
      expected: [],
    },
    {
      title: "another boot",
      entry: { game: "saltworks", config: "quiet", boot: "c", pass: "1" },
      expected: [],
    },
    {
      title: "another pass",
      entry: { game: "saltworks", config: "quiet", boot: null, pass: "3" },
      expected: [],
    },
  ])("sets aside what the session lists by $title", ({ entry, expected }) => {
    const passes = ["a/1", "b/1", "b/2"].map((name) => pass(`saltworks/quiet/${name}`));
    const marked = markPasses(
      passes,
      { keepAll: false, setAside: [{ ...entry, why: "an update ran" }] },
      true,
    );
    expect(marked.flatMap(({ counted }, i) => (counted ? [] : [i]))).toEqual(expected);
    for (const own of marked) {
      const flag = { code: "set-aside", why: "an update ran" };
      expect(own.flags).toEqual(own.counted ? [] : [flag]);
      if (!own.counted) expect(judgedPass(own).notCountedBecause).toContain("an update ran");
    }
  });

  test("counts the first of several copies, and names them", () => {
    const marked = markPasses(
      [
        pass("saltworks/quiet//1", { fingerprint: "same" }),
        pass("saltworks/quiet//2", { fingerprint: "same" }),
        pass("saltworks/full//1", { fingerprint: "same" }),
        pass("saltworks/full//2", { fingerprint: "other" }),
        // What has no fingerprint is no copy of what has none either.
        pass("saltworks/full//3", { fingerprint: "" }),
        pass("saltworks/full//4", { fingerprint: "" }),
      ],
      nothingListed,
      true,
    );
    expect(marked.map(({ counted }) => counted)).toEqual([true, false, false, true, true, true]);
    const copy = { code: "duplicate", of: "saltworks/quiet/1", isFirst: false };
    expect(marked.map(({ flags }) => flags)).toEqual([
      [{ code: "duplicate", of: "saltworks/quiet/2, saltworks/full/1", isFirst: true }],
      [copy],
      [copy],
      [],
      [],
      [],
    ]);
  });

  /** Six games of four passes, 0.2% apart; `change` spoils some. */
  const session = (change: (game: number, i: number) => Partial<Record<Metric, number>>) =>
    [0, 1, 2, 3, 4, 5].flatMap((game) =>
      [0, 1, 2, 3].map((i) =>
        pass(
          `game-${game}/quiet//${i}`,
          {},
          { avgFps: 100 + 0.2 * i, low1Fps: 70 + 0.3 * i, ...change(game, i) },
        ),
      ),
    );

  test("sets aside a slow pass, and says how far below the others that count it lies", () => {
    const slow = session((game, i) => (game === 2 && i === 1 ? { avgFps: 80, low1Fps: 63 } : {}));
    const marked = markPasses(slow, nothingListed, true);
    expect(marked.flatMap(({ counted }, i) => (counted ? [] : [i]))).toEqual([9]);
    const [flag, ...others] = marked[9]?.flags ?? [];
    expect(others).toEqual([]);
    if (flag?.code !== "unusually-slow") throw new Error("no flag");
    expect(flag.p).toBe(marked[9]?.screenP);
    expect(flag.p).toBeLessThan(0.05);
    // Below the geometric mean of the three others.
    expectClose(flag.belowPct.avgFps, 100 * (1 - 80 / Math.cbrt(100 * 100.4 * 100.6)), 1e-10);
    expectClose(flag.belowPct.low1Fps, 100 * (1 - 63 / Math.cbrt(70 * 70.6 * 70.9)), 1e-10);
    expect(marked.filter((_, i) => i !== 9).every(({ screenP }) => screenP === null || screenP > 0.05)).toBe(
      true,
    );
  });

  test("takes no measure of a low that the pass, or all others, do not have", () => {
    const alone = session((game, i) => (game === 2 && i === 1 ? { avgFps: 80, low1Fps: -1 } : {}));
    const only = session((game, i) =>
      game === 2 ? { avgFps: i === 1 ? 80 : 100 + 0.2 * i, low1Fps: i === 1 ? 63 : -1 } : {},
    );
    for (const passes of [alone, only]) {
      const flag = markPasses(passes, nothingListed, true)[9]?.flags[0];
      if (flag?.code !== "unusually-slow") throw new Error("no flag");
      expect(flag.belowPct.low1Fps).toBeNull();
      expect(flag.belowPct.avgFps).toBeGreaterThan(19);
    }
  });

  test("a second slow pass is no measure of the first", () => {
    const five = [0, 1, 2, 3, 4, 5].flatMap((game) =>
      [0, 1, 2, 3, 4].map((i) =>
        pass(
          `game-${game}/quiet//${i}`,
          {},
          { avgFps: game === 2 && i < 2 ? 80 + i : 100 + 0.2 * i, low1Fps: 70 },
        ),
      ),
    );
    const marked = markPasses(five, nothingListed, true);
    expect(marked.flatMap(({ counted }, i) => (counted ? [] : [i]))).toEqual([10, 11]);
    const flag = marked[10]?.flags[0];
    if (flag?.code !== "unusually-slow") throw new Error("no flag");
    expectClose(flag.belowPct.avgFps, 100 * (1 - 80 / Math.cbrt(100.4 * 100.6 * 100.8)), 1e-10);
  });

  test("without the screen every measurement counts, and none has a p", () => {
    const slow = session((game, i) => (game === 2 && i === 1 ? { avgFps: 80 } : {}));
    const marked = markPasses(slow, nothingListed, false);
    expect(marked.every(({ counted, screenP }) => counted && screenP === null)).toBe(true);
    expect(codesOf(marked).flat()).toEqual([]);
  });

  test("a pass that is fast beyond chance counts, with a flag", () => {
    const marked = markPasses(
      session((game, i) => (game === 2 && i === 1 ? { avgFps: 130 } : {})),
      nothingListed,
      true,
    );
    expect(marked.every(({ counted }) => counted)).toBe(true);
    expect(codesOf(marked).flatMap((codes, i) => (codes.length > 0 ? [[i, ...codes]] : []))).toEqual([
      [9, "unusually-fast"],
    ]);
  });

  test("two passes far apart both count, each told of the other", () => {
    const pairs = session((game, i) => (game === 2 && i === 1 ? { avgFps: 60 } : {})).filter(
      (_, i) => i % 4 < 2,
    );
    const marked = markPasses(pairs, nothingListed, true);
    expect(marked.every(({ counted }) => counted)).toBe(true);
    expect(marked.flatMap(({ flags }, i) => flags.map((flag) => [i, flag]))).toEqual([
      [4, { code: "passes-disagree", passes: 2 }],
      [5, { code: "passes-disagree", passes: 2 }],
    ]);
  });

  test("a pass that the session lists is no yardstick of the screen", () => {
    const slow = session((game, i) => (game === 2 && i < 2 ? { avgFps: 80 - i } : {}));
    const entry = { game: "game-2", config: "quiet", boot: null, pass: "1", why: "an update ran" };
    const marked = markPasses(slow, { keepAll: false, setAside: [entry] }, true);
    expect(marked.flatMap(({ counted }, i) => (counted ? [] : [i]))).toEqual([8, 9]);
    expect(codesOf(marked)[9]).toEqual(["set-aside"]);
    expect(marked[9]?.screenP).toBeNull();
  });
});

describe("a marked pass as a reader sees it", () => {
  test("has every figure, and none of what is only for the judgement", () => {
    const own = pass("saltworks/quiet//1", { writtenAtMs: 5, flags: [{ code: "cut-short" }] });
    const [marked] = markPasses([own], nothingListed, true);
    const { flags: _flags, fingerprint: _print, writtenAtMs: _time, ...figures } = own;
    const shown = judgedPass(marked as NonNullable<typeof marked>);
    expect(shown).toMatchObject({ ...figures, counted: true, notCountedBecause: null, screenP: null });
    expect(shown.flags).toMatchObject([{ code: "cut-short", severity: "note" }]);
    for (const name of ["fingerprint", "writtenAtMs", "pace"]) expect(shown).not.toHaveProperty(name);
  });

  test("tells every reason for which it does not count, and no other flag", () => {
    const own = pass("saltworks/quiet//1");
    const shown = judgedPass({
      ...{ pass: own, counted: false, screenP: null },
      flags: [
        { code: "cut-short" },
        { code: "set-aside", why: "an update ran" },
        { code: "duplicate", of: "saltworks/full/1", isFirst: false },
      ],
    });
    const reasons = shown.flags.filter(({ severity }) => severity === "bad").map(({ text }) => text);
    expect(reasons).toHaveLength(2);
    expect(shown.notCountedBecause).toBe(reasons.join("; "));
  });
});

describe("frame caps and the screen", () => {
  const pace = {
    pinned: { rateFps: 100, timePct: 97, kind: "value" as const },
    ...{ gpuBusyPct: null, heldPower: null, drops: null },
  };
  const free = [
    [100, 96, 104, 98],
    [97, 103, 99, 101],
    [100.1, 100.2, 100, 96],
  ];
  // Four games whose passes do not vary, one of their passes without a sign of the cap; three that vary by some percent.
  const passes = [
    ...[0, 1, 2, 3].flatMap((game) =>
      [0, 1, 2, 3].map((i) => pass(`capped-${game}/quiet//${i}`, i === 3 ? {} : { pace })),
    ),
    ...free.flatMap((cell, game) =>
      cell.map((avgFps, i) => pass(`free-${game}/quiet//${i}`, {}, { avgFps, low1Fps: 0.7 * avgFps })),
    ),
  ];

  test("a pass that varies as those of other free games counts, whatever capped games hold to", () => {
    const marked = markPasses(passes, nothingListed, true);
    expect(marked.every(({ counted }) => counted)).toBe(true);
    const capped = { code: "capped", ...pace.pinned };
    expect(marked.map(({ flags }) => flags)).toEqual(
      passes.map((own) => (own.pace === undefined ? [] : [capped])),
    );
    // The same without a sign of the caps: the games that do not vary set the measure.
    const blind = markPasses(
      passes.map(({ pace: _pace, ...own }) => own),
      nothingListed,
      true,
    );
    expect(blind.flatMap(({ counted, pass: own }) => (counted ? [] : [own.fingerprint]))).toEqual([
      "free-2/quiet//3",
    ]);
  });

  test("a game bound by the graphics unit is no capped one: it sets the measure", () => {
    const bound = passes.map((own) => {
      const isFree = own.fingerprint.startsWith("free");
      return isFree ? { ...own, pace: { ...pace, pinned: null, gpuBusyPct: 100 } } : own;
    });
    const marked = markPasses(bound, nothingListed, true);
    expect(marked.at(-1)?.flags.map(({ code }) => code)).toEqual(["gpu-bound"]);
    expect(marked.every(({ counted }) => counted)).toBe(true);
  });

  test("nothing is said of the pace of a pass that does not count", () => {
    const entry = { game: "capped-0", config: "quiet", boot: null, pass: "0", why: "an update ran" };
    const [first] = markPasses(passes, { keepAll: false, setAside: [entry] }, true);
    expect(first?.flags.map(({ code }) => code)).toEqual(["set-aside"]);
  });

  test("a reader sees the facts of the pace, without the places of slow frames", () => {
    const own = pass("saltworks/quiet//1", { pace: { ...pace, slowAt: [0.1, 0.5] } });
    const shown = judgedPass({ pass: own, flags: [], counted: true, screenP: null });
    expect(shown.pace).toEqual(pace);
  });
});
