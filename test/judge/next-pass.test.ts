import { describe, expect, test } from "vitest";
import { chooseNextPass, sumMinutes } from "../../src/judge/next-pass.ts";

const rule = { leastPasses: 3 };
const noCosts = { passMinutes: null, switchMinutes: 0 };
const cell = (game: string, config: string, counted: number, needed: number) => ({
  game,
  config,
  counted,
  needed,
});
const open = (
  game: string,
  config: string,
  passes: number,
  againstPasses: number,
  halfWidth: number | null,
) => ({
  game,
  config,
  metric: "low1Fps" as const,
  passes,
  againstPasses,
  halfWidth,
});
const choose = (change: Partial<Parameters<typeof chooseNextPass>[0]>) =>
  chooseNextPass({
    cells: [],
    open: [],
    baseline: "stock",
    rule,
    costs: noCosts,
    lastConfig: null,
    ...change,
  });

describe("the pass to capture next", () => {
  test("none where every cell has what it needs", () => {
    expect(choose({ cells: [cell("saltworks", "stock", 3, 3)] })).toBe(null);
  });

  test("cells with too few passes first, the one with the fewest before others", () => {
    const cells = [
      cell("saltworks", "stock", 2, 3),
      cell("saltworks", "parked", 1, 3),
      cell("kestrel-cup", "stock", 5, 9),
    ];
    const pass = choose({ cells, open: [open("kestrel-cup", "parked", 9, 5, 0.2)] });
    expect(pass).toEqual({
      game: "saltworks",
      config: "parked",
      number: 2,
      because: "too-few",
      widest: null,
    });
  });

  test("a reboot is not worth a pass that can be had without one", () => {
    const cells = [cell("saltworks", "stock", 2, 3), cell("saltworks", "parked", 1, 3)];
    const costs = { passMinutes: 2, switchMinutes: 5 };
    expect(choose({ cells, costs, lastConfig: "stock" })?.config).toBe("stock");
    expect(choose({ cells, costs, lastConfig: "parked" })?.config).toBe("parked");
  });

  test("then the pass that narrows the open intervals by most", () => {
    const cells = ["stock", "parked"].flatMap((config) => [cell("a", config, 4, 9), cell("b", config, 4, 9)]);
    const pass = choose({ cells, open: [open("a", "parked", 4, 4, 0.02), open("b", "parked", 4, 4, 0.05)] });
    expect(pass).toMatchObject({ game: "b", number: 5, because: "narrows-most" });
    // sqrt((1/5 + 1/4) / (1/4 + 1/4)) of the width, done by hand.
    expect(pass?.widest?.halfWidthThen).toBeCloseTo(0.05 * Math.sqrt(0.9), 12);
  });

  test("the baseline before a config, where it helps several comparisons at once", () => {
    const cells = ["stock", "first", "second"].map((config) => cell("a", config, 4, 9));
    const both = [open("a", "first", 4, 4, 0.03), open("a", "second", 4, 4, 0.03)];
    expect(choose({ cells, open: both })?.config).toBe("stock");
  });

  test("the side with fewer passes before the other", () => {
    const cells = [cell("a", "stock", 8, 9), cell("a", "parked", 4, 9)];
    expect(choose({ cells, open: [open("a", "parked", 4, 8, 0.03)] })?.config).toBe("parked");
  });

  test("per minute: a reboot has to pay", () => {
    const cells = [cell("a", "stock", 8, 9), cell("a", "parked", 4, 9)];
    const costs = { passMinutes: 2, switchMinutes: 20 };
    expect(
      choose({ cells, costs, lastConfig: "stock", open: [open("a", "parked", 4, 8, 0.03)] })?.config,
    ).toBe("stock");
  });

  test("of cells that are equally good the first, in either stage", () => {
    const few = ["stock", "parked"].flatMap((config) => [cell("a", config, 1, 3), cell("b", config, 1, 3)]);
    expect(choose({ cells: few })).toMatchObject({ game: "a", config: "stock" });
    const more = ["stock", "parked"].flatMap((config) => [cell("a", config, 4, 9), cell("b", config, 4, 9)]);
    const both = [open("a", "parked", 4, 4, 0.03), open("b", "parked", 4, 4, 0.03)];
    expect(choose({ cells: more, open: both })).toMatchObject({ game: "a", config: "stock" });
  });

  test("a cell that has its first passes is weighed by what it narrows, however few it has", () => {
    const cells = [cell("a", "stock", 5, 9), cell("a", "parked", 3, 9)];
    const pass = choose({ cells, open: [open("a", "parked", 3, 5, 0.03)] });
    expect(pass).toMatchObject({ config: "parked", number: 4, because: "narrows-most" });
  });

  test("the widest of the comparisons it helps is told, whichever comes first", () => {
    const cells = ["stock", "first", "second", "third"].map((config) => cell("a", config, 4, 9));
    const widths = [
      open("a", "first", 4, 4, 0.02),
      open("a", "second", 4, 4, 0.05),
      open("a", "third", 4, 4, 0.03),
    ];
    expect(choose({ cells, open: widths })?.widest).toMatchObject({ config: "second", halfWidth: 0.05 });
  });

  test("comparisons of unknown noise narrow nothing, and a cell that helps none is not preferred", () => {
    const cells = ["stock", "first", "second", "third"].map((config) => cell("a", config, 4, 9));
    const some = [open("a", "first", 4, 4, null), open("a", "second", 4, 4, 0.03)];
    expect(choose({ cells: cells.slice(1), open: some })).toMatchObject({ config: "second" });
    const none = choose({ cells, open: [open("a", "first", 4, 4, null)] });
    expect(none).toEqual({ game: "a", config: "stock", number: 5, because: "narrows-most", widest: null });
    expect(choose({ cells })).toMatchObject({ config: "stock", widest: null });
  });

  test("a config whose cells are complete, or have more than they need, costs neither passes nor a switch", () => {
    const cells = [cell("a", "stock", 3, 5), cell("a", "parked", 5, 5), cell("a", "full", 6, 5)];
    expect(sumMinutes(cells, { passMinutes: 2, switchMinutes: 10 }, "stock")).toBe(2 * 2);
  });

  test("minutes left: passes, and one switch per config that the machine is not in", () => {
    const cells = [
      cell("a", "stock", 3, 5),
      cell("b", "stock", 3, 4),
      cell("a", "parked", 1, 3),
      cell("b", "parked", 3, 3),
    ];
    expect(sumMinutes(cells, { passMinutes: 2, switchMinutes: 10 }, "stock")).toBe(5 * 2 + 10);
    expect(sumMinutes(cells, { passMinutes: 2, switchMinutes: 10 }, null)).toBe(5 * 2 + 20);
    expect(sumMinutes(cells, noCosts, "stock")).toBe(null);
  });
});
