import { describe, expect, test } from "vitest";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { RunError } from "../../src/shared/problem.ts";
import { passesOf, settingsFor } from "../support/session-fixtures.ts";

const configs = ["parked", "stock", "full"];
/** Three passes of each cell, named so that the order of names is not that of captures. */
const session = (games: readonly string[], own: readonly string[] = configs): PassSummary[] =>
  passesOf(
    games.flatMap((game) =>
      own.flatMap((config) =>
        [3, 1, 2].map((i) => {
          const avgFps = (config === "parked" ? 80 : 100) + 0.1 * i;
          return { game, config, pass: `pass-${i}`, avgFps, low1Fps: 0.7 * avgFps, cpuPowerW: 50 + i };
        }),
      ),
    ),
  );
const passes = session(["game-10", "game-2"]);

describe("what a judgement says of its session", () => {
  test("is what was asked, with games and configs in their order", () => {
    const asked = settingsFor("stock", {
      ...{ title: "Living room", lows: "tail-average", mattersPct: 5, confidencePct: 90 },
      falseAlarmControl: "strict",
    });
    expect(judgeSession(passes, asked)).toMatchObject({ format: "runjury.judgement/1" });
    // As people count: game 2 before game 10; the baseline before the configs, which go by name.
    expect(judgeSession(passes, asked).session).toEqual({
      ...{ title: "Living room", baseline: "stock", lows: "tail-average", mattersPct: 5, confidencePct: 90 },
      ...{ falseAlarmControl: "strict", configs: ["stock", "full", "parked"], games: ["game-2", "game-10"] },
      noiseLevel: "pass",
    });
  });

  test("holds titles and tags where there are any", () => {
    const titles = { games: [{ name: "game-2", title: "Game Two" }], configs: [] };
    const tags = [{ game: "game-2", tag: "racing" }];
    expect(judgeSession(passes, settingsFor("stock", { titles, tags })).session).toMatchObject({
      titles,
      tags,
    });
    const { session: bare } = judgeSession(passes, settingsFor("stock"));
    expect("titles" in bare || "tags" in bare).toBe(false);
  });

  test("stands in session order: passes by name, verdicts by game and config, metrics in theirs", () => {
    const { passes: listed, verdicts } = judgeSession(passes, settingsFor("stock"));
    expect(listed.map(({ game, config, pass }) => `${game} ${config} ${pass}`)).toEqual(
      ["game-2", "game-10"].flatMap((game) =>
        ["full", "parked", "stock"].flatMap((config) => [1, 2, 3].map((i) => `${game} ${config} pass-${i}`)),
      ),
    );
    expect(verdicts.map(({ game, config, metric }) => `${game} ${config} ${metric}`)).toEqual(
      ["game-2", "game-10"].flatMap((game) =>
        ["full", "parked"].flatMap((config) =>
          ["avgFps", "low1Fps", "cpuPowerW"].map((metric) => `${game} ${config} ${metric}`),
        ),
      ),
    );
    expect(verdicts.every(({ against }) => against === "stock")).toBe(true);
  });

  test("is refused where there is nothing to compare", () => {
    const codeOf = (own: readonly PassSummary[], baseline: string): string => {
      try {
        judgeSession(own, settingsFor(baseline));
        return "judged";
      } catch (error) {
        return error instanceof RunError ? (error.problems[0]?.code ?? "") : String(error);
      }
    };
    expect(codeOf(passes, "stokc")).toBe("baseline-unknown");
    expect(codeOf(session(["game-2"], ["stock"]), "stock")).toBe("one-config");
    expect(codeOf([], "stock")).toBe("nothing-to-judge");
    expect(codeOf(passes, "stock")).toBe("judged");
  });
});

describe("what limits a verdict", () => {
  const pinned = { rateFps: 100, timePct: 95, kind: "value" as const };
  const capped = passes.map((pass) => ({
    ...pass,
    avgFps: pass.config === "parked" ? 100 - (pass.avgFps as number) / 1e6 : (pass.avgFps as number) - 1,
    pace: {
      pinned: pass.config === "parked" && pass.game === "game-2" ? pinned : null,
      ...{ gpuBusyPct: null, heldPower: null, drops: null },
    },
  }));

  test("is told of frame rates in the game and config that it limits, and of nothing else", () => {
    const { verdicts, cautions } = judgeSession(capped, settingsFor("stock"));
    const limited = verdicts.filter(({ limitedBy }) => limitedBy !== null);
    expect(
      limited.map(({ game, config, metric, limitedBy }) => `${game} ${config} ${metric} ${limitedBy}`),
    ).toEqual([...["game-2 parked avgFps capped", "game-2 parked low1Fps capped"]]);
    expect(cautions.map(({ code }) => code)).toContain("capped");
  });
});

describe("passes that are set aside", () => {
  const setAside = [{ game: "game-2", config: "stock", boot: null, pass: "pass-1", why: "updated itself" }];
  const slow = passes.map((pass) =>
    pass.game === "game-10" && pass.config === "full" && pass.pass === "pass-2"
      ? { ...pass, avgFps: 50, low1Fps: 30 }
      : pass,
  );
  const notCounted = (keepAll: boolean) =>
    judgeSession(slow, settingsFor("stock", { keepAll, setAside }))
      .passes.filter(({ counted }) => !counted)
      .map(({ game, config, pass }) => `${game} ${config} ${pass}`);

  test("are those listed and those found, unless all are kept", () => {
    expect(notCounted(false)).toEqual(["game-2 stock pass-1", "game-10 full pass-2"]);
    expect(notCounted(true)).toEqual([]);
  });

  test("do not count for verdicts, and a word that would be another with those found is marked", () => {
    const { verdicts } = judgeSession(slow, settingsFor("stock", { setAside }));
    const of = (game: string, config: string) =>
      verdicts.find((row) => row.game === game && row.config === config && row.metric === "avgFps");
    expect(of("game-2", "full")).toMatchObject({ passes: 3, againstPasses: 2, holdsWithAllPasses: true });
    expect(of("game-10", "full")).toMatchObject({ passes: 2, againstPasses: 3, verdict: "same" });
    expect(of("game-10", "full")?.holdsWithAllPasses).toBe(false);
  });
});

test("boots are the noise where every cell has two, and then widen what is said of all games", () => {
  const inBoots = (isNamed: boolean) =>
    judgeSession(
      passes.map((pass, i) => {
        const boot = pass.pass === "pass-1" ? "boot-1" : "boot-2";
        const shift = boot === "boot-1" ? 1.02 : 1;
        return { ...pass, avgFps: (pass.avgFps as number) * shift + 0.001 * i, boot: isNamed ? boot : null };
      }),
      settingsFor("stock"),
    );
  expect(inBoots(true).session.noiseLevel).toBe("boot");
  expect(inBoots(false).session.noiseLevel).toBe("pass");
  const widthOf = (isNamed: boolean): number => {
    const row = inBoots(isNamed).suite.find(({ metric, config }) => metric === "avgFps" && config === "full");
    return (row?.highPct as number) - (row?.lowPct as number);
  };
  expect(widthOf(true)).toBeGreaterThan(2 * widthOf(false));
});
