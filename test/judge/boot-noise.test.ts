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

describe("the best number of passes per boot", () => {
  // No worked example of the paper is at hand: the optimum is held to a search over all whole numbers instead.
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
