import { mean } from "simple-statistics";
import { describe, expect, test } from "vitest";
import { bestPassesPerBoot, splitNoise } from "../../src/judge/boot-noise.ts";
import { expectClose } from "../support/expect-close.ts";
import { makePass } from "../support/make-pass.ts";
import { readReference } from "../support/read-reference.ts";

interface Design {
  passes: { boot: number; avgFps: number }[];
  boot: number;
  pass: number;
}
const r = readReference<{ balanced: Design; uneven: Design }>("test/reference/planning.json");

const passesOf = (design: Design, game = "saltworks") =>
  design.passes.map(({ boot, avgFps }, i) =>
    makePass({ game, config: "stock", boot: `boot-${boot}`, pass: `pass-${i}` }, { avgFps }),
  );

describe("the two levels of noise", () => {
  test("of a balanced design agree with lme4's REML", () => {
    const split = splitNoise(passesOf(r.balanced), "avgFps")!;
    // lme4 stops its search near 1e-5.
    expectClose(split.boot, r.balanced.boot, 1e-4, "boot");
    expectClose(split.pass, r.balanced.pass, 1e-4, "pass");
  });

  test("of an uneven design agree with R's aov and its coefficient", () => {
    const split = splitNoise(passesOf(r.uneven), "avgFps")!;
    expectClose(split.boot, r.uneven.boot, 1e-9, "boot");
    expectClose(split.pass, r.uneven.pass, 1e-9, "pass");
  });

  test("stay the same with a second cell of the same figures", () => {
    const one = splitNoise(passesOf(r.uneven), "avgFps")!;
    const two = splitNoise([...passesOf(r.uneven), ...passesOf(r.uneven, "kestrel-cup")], "avgFps")!;
    expectClose(two.boot, one.boot, 1e-12);
    expectClose(two.pass, one.pass, 1e-12);
  });

  test("cannot be told with one pass per boot, or one boot per cell", () => {
    const single = passesOf(r.balanced).filter((_, i) => i % 3 === 0);
    expect(splitNoise(single, "avgFps")).toBeNull();
    expect(splitNoise(passesOf(r.balanced).slice(0, 3), "avgFps")).toBeNull();
  });
});

describe("the two levels of noise, by hand", () => {
  const pass = (boot: string | null, log: number | null, i: number, game = "saltworks") =>
    makePass(
      { game, config: "stock", boot, pass: `${boot}-${i}` },
      { avgFps: log === null ? null : Math.exp(log) },
    );
  // Boots (1, 3) and (4): within 2 of 1 df; centre 8/3; between 2 (2/3)^2 + (4/3)^2 = 8/3 of 1 df; weight 3 - 5/3 = 4/3.
  const uneven = [pass("a", 1, 0), pass("a", 3, 1), pass("b", 4, 0)];

  test.for([
    { title: "two boots of two passes and one", passes: uneven, boot: (8 / 3 - 2) / (4 / 3), pass: 2 },
    {
      title: "passes without the metric, and boots that have only such, say nothing",
      passes: [...uneven, pass("a", null, 2), pass("c", null, 0)],
      ...{ boot: (8 / 3 - 2) / (4 / 3), pass: 2 },
    },
    {
      title: "a game of a single boot says nothing",
      passes: [...uneven, pass("a", 1, 0, "kestrel-cup"), pass("a", 9, 1, "kestrel-cup")],
      ...{ boot: (8 / 3 - 2) / (4 / 3), pass: 2 },
    },
    {
      // Within 2 + 2 of 2 df; boot means 2 and 2: between 0, which passes alone would exceed.
      title: "boots that agree more than passes let expect add no noise",
      passes: [pass("a", 1, 0), pass("a", 3, 1), pass("b", 1, 0), pass("b", 3, 1)],
      ...{ boot: 0, pass: 2 },
    },
  ])("$title", ({ passes, boot, pass: ofPass }) => {
    const split = splitNoise(passes, "avgFps");
    expectClose(split?.boot, boot, 1e-12, "boot");
    expectClose(split?.pass, ofPass, 1e-12, "pass");
  });

  test("cannot be told of no passes, or of a metric that none has", () => {
    expect(splitNoise([], "avgFps")).toBeNull();
    expect(splitNoise(uneven, "cpuPowerW")).toBeNull();
  });

  test("boots that add no noise are worth no second one", () => {
    expect(bestPassesPerBoot({ pass: 1, boot: 0 }, { boot: 5, pass: 1 })).toBe(Number.POSITIVE_INFINITY);
  });
});

describe("the best number of passes per boot", () => {
  /*
   * No worked example of Kalibera & Jones is at hand. The optimum is that of two-stage sampling, so it is held to the
   * calcium of turnip greens of Snedecor & Cochran (Statistical Methods, 1967): 4 plants, 3
   * leaves of each, 2 determinations of each leaf. Figures and results are from memory; that R 4.2.2 finds the sums of
   * squares of the book (7.5603, 2.6302 and 0.0799) in these figures speaks for both.
   */
  const determinations = [
    ["3.28 3.09", "3.52 3.48", "2.88 2.80"],
    ["2.46 2.44", "1.87 1.92", "2.19 2.19"],
    ["2.77 2.66", "3.74 3.44", "2.55 2.55"],
    ["3.78 3.87", "4.07 4.12", "3.31 3.31"],
  ];
  const greens = determinations.flatMap((leaves, plant) =>
    leaves.map((pair, leaf) => {
      const place = { game: "greens", config: "stock", boot: `plant-${plant}`, pass: `leaf-${leaf}` };
      return makePass(place, { avgFps: Math.exp(mean(pair.split(" ").map(Number))) });
    }),
  );

  test("in a published example of sampling in two stages", () => {
    const split = splitNoise(greens, "avgFps")!;
    // Plants 0.3652, leaves 0.1610, determinations 0.0066, of which a leaf's mean has half.
    expect(split.boot).toBeCloseTo(0.3652, 4);
    expect(split.pass).toBeCloseTo(0.161 + 0.0066 / 2, 3);
    // With one determination per leaf: 0.68 (cost of a plant / cost of a leaf)^(1/2).
    const one = { pass: 0.161 + 0.0066, boot: 0.3652 };
    for (const ratio of [1, 10, 100]) {
      expect(bestPassesPerBoot(one, { boot: ratio, pass: 1 }) / Math.sqrt(ratio)).toBeCloseTo(0.68, 2);
    }
  });

  test.for([
    { pass: 1, boot: 1, bootMinutes: 5, passMinutes: 1 },
    { pass: 4, boot: 1, bootMinutes: 10, passMinutes: 2 },
    { pass: 1, boot: 4, bootMinutes: 5, passMinutes: 5 },
    { pass: 9, boot: 0.5, bootMinutes: 3, passMinutes: 2 },
  ])("is beside the best whole number: %o", ({ pass, boot, bootMinutes, passMinutes }) => {
    const best = bestPassesPerBoot({ pass, boot }, { boot: bootMinutes, pass: passMinutes });
    // Variance times time, whatever the number of boots.
    const price = (passes: number): number => (boot + pass / passes) * (bootMinutes + passes * passMinutes);
    const whole = Array.from({ length: 100 }, (_, i) => i + 1).sort((a, b) => price(a) - price(b))[0];
    expect([Math.max(1, Math.floor(best)), Math.max(1, Math.ceil(best))]).toContain(whole);
    expect(price(best)).toBeLessThanOrEqual(price(whole as number) + 1e-12);
  });
});
