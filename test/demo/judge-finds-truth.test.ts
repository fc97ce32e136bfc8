import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, test } from "vitest";
import { demoFolder, readTruth } from "./read-truth.ts";

const program = fileURLToPath(new URL("../../bin/runjury.js", import.meta.url));
const truth = readTruth();

interface Row {
  readonly game: string;
  readonly config: string;
}
interface Judgement {
  readonly passes: readonly (Row & {
    pass: string;
    counted: boolean;
    notCountedBecause?: string;
    flags: { code: string }[];
  })[];
  readonly cautions: readonly { code: string; text: string }[];
  readonly verdicts: readonly (Row & {
    metric: string;
    verdict: string;
    changePct: number;
    lowPct: number;
    highPct: number;
  })[];
}

// Source of every expectation: what the generator put into the passes (demo-data/truth.json).
describe("judging the demo session", () => {
  let judgement: Judgement = { passes: [], verdicts: [], cautions: [] };
  const verdictOf = ({ game, config, metric }: Row & { metric: string }) =>
    judgement.verdicts.filter((row) => row.game === game && row.config === config && row.metric === metric);

  beforeAll(() => {
    const words = ["judge", demoFolder, "--baseline", truth.baseline, "--format", "json"];
    const run = spawnSync(process.execPath, [program, ...words], { encoding: "utf8", maxBuffer: 64_000_000 });
    expect(run.stderr).not.toMatch(/\n\s+at /);
    expect(run.status).toBe(0);
    judgement = JSON.parse(run.stdout);
  });

  test("reads all 72 passes", () => {
    expect(judgement.passes).toHaveLength(72);
  });

  test("sets aside the pass that a background update spoiled, and no other", () => {
    const { game, config, pass } = truth.badPass;
    const aside = judgement.passes.filter((row) => !row.counted);
    expect(aside).toMatchObject([{ game, config, pass, notCountedBecause: expect.stringMatching(/\S/) }]);
  });

  test.for(truth.mustFind)("finds $game $config $metric $verdict", (row) => {
    expect(verdictOf(row)).toMatchObject([{ verdict: row.verdict }]);
  });

  test.for(truth.mustNot)("does not call $game $config $metric any of $verdicts", (row) => {
    const found = verdictOf(row);
    expect(found).toHaveLength(1);
    expect(row.verdicts).not.toContain(found[0]?.verdict);
  });

  test("finds the game at its frame cap, and the slower configs that were held back, and flags no other", () => {
    const flagged = (code: string) => [
      ...new Set(
        judgement.passes
          .filter(({ flags }) => flags.some((flag) => flag.code === code))
          .map(({ game }) => game),
      ),
    ];
    expect(flagged("capped")).toEqual([truth.roles.frameCapped]);
    expect(flagged("throttled")).toEqual([]);
    const heldBack = judgement.cautions.filter(({ code }) => code === "held-back").map(({ text }) => text);
    const { game, config } = truth.roles.throttled;
    expect(heldBack).toEqual([expect.stringContaining(`${game}/${config} (1% low`)]);
    expect(heldBack[0]).toContain(`${truth.roles.powerHelps}/${config} (average FPS`);
    for (const spared of ["tide-runner", "moss-and-marrow", "kestrel-cup"])
      expect(heldBack[0]).not.toContain(spared);
  });

  test("at least nine in ten of its intervals hold the true difference", () => {
    // They are made to hold it in 95 of 100 cases; 36 intervals miss four or more in 10 of 100 sessions, and this
    // session is fixed. Source of the 10: R 4.x 1 - pbinom(3, 36, 0.05) = 0.1037.
    const covered = truth.changes.flatMap(({ game, config, changePct }) =>
      (["avgFps", "low1Fps", "low01Fps"] as const).map((metric) => {
        const [row] = verdictOf({ game, config, metric });
        return row !== undefined && row.lowPct <= changePct[metric] && changePct[metric] <= row.highPct;
      }),
    );
    expect(covered).toHaveLength(36);
    expect(covered.filter(Boolean).length).toBeGreaterThanOrEqual(33);
  });
});
