import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  defaultLayout,
  isLogName,
  type KnownNames,
  type Layout,
  parseLayout,
  placeLog,
  withoutLogExtension,
} from "../../src/read/layout.ts";
import { processorMs } from "../support/processor-ms.ts";

function layoutOf(pattern: string): Layout {
  const { layout, faults } = parseLayout(pattern);
  expect(faults).toEqual([]);
  if (layout === null) throw new Error("no layout and no fault");
  return layout;
}

function partsOf(path: string): readonly string[] {
  return path.split("/");
}

describe("a log's name", () => {
  test.for([
    { name: "pass-1.csv", stem: "pass-1", isLog: true },
    { name: "pass-1.TSV", stem: "pass-1", isLog: true },
    { name: "pass-1.txt.gz", stem: "pass-1", isLog: true },
    { name: "pass-1.Log.GZ", stem: "pass-1", isLog: true },
    { name: "pass.1.csv", stem: "pass.1", isLog: true },
    { name: "pass-1.csv.csv", stem: "pass-1.csv", isLog: true },
    { name: ".csv", stem: ".csv", isLog: true },
    { name: "pass-1.gz", stem: "pass-1.gz", isLog: false },
    { name: "pass-1.json", stem: "pass-1.json", isLog: false },
    { name: "pass-1", stem: "pass-1", isLog: false },
    { name: "csv", stem: "csv", isLog: false },
  ])("$name is the pass $stem", ({ name, stem, isLog }) => {
    expect(withoutLogExtension(name)).toBe(stem);
    expect(isLogName(name)).toBe(isLog);
  });
});

describe("a layout pattern", () => {
  test("the usual arrangement, written out, is the usual arrangement", () => {
    expect(layoutOf("{game}/{config}/{pass}")).toStrictEqual(defaultLayout);
  });

  test.for([
    { pattern: "{game}/{cfg}/{pass}", faults: [["unknown-placeholder", 7]] },
    { pattern: "{game}/{configs}/{pass}", faults: [["unknown-placeholder", 7]] },
    { pattern: "{game}/{}/{pass}", faults: [["unknown-placeholder", 7]] },
    { pattern: "{game}/{config}", faults: [["placeholder-missing", 0]] },
    { pattern: "", faults: [["part-empty", 0]] },
    { pattern: "{game}/{game}/{config}/{pass}", faults: [["placeholder-twice", 7]] },
    { pattern: "{game}{config}/{pass}", faults: [["placeholders-touch", 6]] },
    { pattern: "{game}/{config}/{boot}{pass}", faults: [["placeholders-touch", 22]] },
    { pattern: "{game}/{config}/{pass", faults: [["brace-alone", 16]] },
    { pattern: "{game}/{config}/pass}", faults: [["brace-alone", 20]] },
    { pattern: "/{game}/{config}/{pass}", faults: [["part-empty", 0]] },
    { pattern: "{game}//{config}/{pass}", faults: [["part-empty", 7]] },
    { pattern: "{game}/{config}/{pass}/", faults: [["part-empty", 23]] },
    { pattern: "./{game}/{config}/{pass}", faults: [["part-dots", 0]] },
    { pattern: "{game}/../{config}/{pass}", faults: [["part-dots", 7]] },
    { pattern: "{game}\\{config}\\{pass}", faults: [["backslash", 6]] },
    { pattern: "\\{game}/{config}/{pass}", faults: [["backslash", 0]] },
    {
      pattern: "/{game}\\{config}/{pas}.csv",
      faults: [
        ["part-empty", 0],
        ["backslash", 7],
        ["unknown-placeholder", 17],
        ["extension", 22],
      ],
    },
    { pattern: "{game}/{config}/{pass}.csv.gz", faults: [["extension", 22]] },
  ])("$pattern is refused with the place of each mistake", ({ pattern, faults }) => {
    const reading = parseLayout(pattern);
    expect(reading.layout).toBeNull();
    expect(reading.faults.map(({ reason, offset }) => [reason, offset])).toEqual(faults);
  });

  test("what is missing is named", () => {
    expect(parseLayout("{pass}").faults).toEqual([
      { reason: "placeholder-missing", names: ["game", "config"], offset: 0 },
    ]);
  });

  test("placeholders that touch are named, the first one first", () => {
    expect(parseLayout("{game}/{config}{boot}/{pass}").faults).toMatchObject([{ names: ["config", "boot"] }]);
  });

  test("a misspelt placeholder names the nearest", () => {
    expect(parseLayout("{game}/{configs}/{pass}").faults).toMatchObject([
      { name: "configs", nearest: "config" },
    ]);
    expect(parseLayout("{game}/{Config}/{pass}").faults).toMatchObject([
      { name: "Config", nearest: "config" },
    ]);
  });
});

describe("where a pass belongs", () => {
  test.for<{ pattern: string | null; path: string; place: readonly [string, string, string, string | null] }>(
    [
      {
        pattern: null,
        path: "home/captures/tide-runner/quiet-35w/pass-1.csv",
        place: ["tide-runner", "quiet-35w", "pass-1", null],
      },
      { pattern: null, path: "a/b/c.log.gz", place: ["a", "b", "c", null] },
      {
        pattern: "{config}/{game}/{pass}",
        path: "captures/quiet-35w/tide-runner/pass-1.csv",
        place: ["tide-runner", "quiet-35w", "pass-1", null],
      },
      {
        pattern: "{game}_{config}_{pass}",
        path: "captures/tide-runner_quiet-35w_1.csv",
        place: ["tide-runner", "quiet-35w", "1", null],
      },
      {
        pattern: "{game}/{config}/{boot}/{pass}",
        path: "captures/tide-runner/quiet-35w/monday/pass-1.csv",
        place: ["tide-runner", "quiet-35w", "pass-1", "monday"],
      },
      {
        pattern: "{game}/{config}/{boot}-{pass}",
        path: "tide-runner/quiet-35w/b1-p2.csv",
        place: ["tide-runner", "quiet-35w", "p2", "b1"],
      },
      {
        pattern: "{game}/{config}/boot-{boot}-pass-{pass}",
        path: "tide-runner/quiet-35w/boot-1-pass-2.csv",
        place: ["tide-runner", "quiet-35w", "2", "1"],
      },
      {
        pattern: "{game} at {config}, pass {pass}",
        path: "captures/Moss and Marrow at full 65 W, pass 3.tsv",
        place: ["Moss and Marrow", "full 65 W", "3", null],
      },
      {
        pattern: "frames/{game}/{config}/{pass}",
        path: "captures/frames/a/b/c.csv",
        place: ["a", "b", "c", null],
      },
      // A folder of the session may have a log's extension; it is part of the name.
      { pattern: null, path: "a.csv/b.txt/c.csv", place: ["a.csv", "b.txt", "c", null] },
      {
        pattern: null,
        path: "__proto__/constructor/toString.csv",
        place: ["__proto__", "constructor", "toString", null],
      },
      // Unicode Standard Annex 15: the decomposed and the composed form are the same text.
      { pattern: null, path: "Cafe\u0301/b/c.csv", place: ["Caf\u00e9", "b", "c", null] },
      {
        pattern: "Cafe\u0301-{game}/{config}/{pass}",
        path: "Caf\u00e9-a/b/c.csv",
        place: ["a", "b", "c", null],
      },
    ],
  )("$path under $pattern", ({ pattern, path, place }) => {
    const placement = placeLog(partsOf(path), pattern === null ? undefined : layoutOf(pattern));
    const [game, config, pass, boot] = place;
    expect(placement).toEqual({ place: { game, config, pass, boot }, finding: null });
  });

  test("a log that lies too shallow for the usual arrangement is not placed", () => {
    expect(placeLog(["quiet-35w", "pass-1.csv"])).toEqual({
      place: null,
      finding: { code: "layout-too-shallow" },
    });
  });

  test.for([
    {
      pattern: "{game}_{config}_{pass}",
      path: "captures/tide-runner_quiet-35w.csv",
      shown: "tide-runner_quiet-35w",
    },
    { pattern: "{game}_{config}_{pass}", path: "captures/_a_b.csv", shown: "_a_b" },
    { pattern: "frames/{game}/{config}/{pass}", path: "old/a/b/c.csv", shown: "old/a/b/c" },
    { pattern: "{game}/{config}/{boot}/{pass}", path: "a/b/c.csv", shown: "a/b/c" },
    { pattern: "{game}/{config}/run-{pass}", path: "a/b/pass-1.csv", shown: "a/b/pass-1" },
  ])("$path does not fit $pattern", ({ pattern, path, shown }) => {
    expect(placeLog(partsOf(path), layoutOf(pattern))).toEqual({
      place: null,
      finding: { code: "layout-no-match", pattern, path: shown },
    });
  });
});

describe("a path that can be read in several ways", () => {
  const pattern = "{game}_{config}_{pass}";
  const path = ["captures", "tide_runner_quiet_1.csv"];
  const first = { game: "tide", config: "runner", pass: "quiet_1", boot: null };
  const second = { game: "tide", config: "runner_quiet", pass: "1", boot: null };
  const third = { game: "tide_runner", config: "quiet", pass: "1", boot: null };

  function unclear(readings: readonly object[], more = false) {
    return {
      place: null,
      finding: { code: "layout-unclear", pattern, path: "tide_runner_quiet_1", readings, more },
    };
  }

  test.for<{ kind: string; known: KnownNames; expected: object }>([
    {
      kind: "nothing is known: all readings are named",
      known: { games: [], configs: [] },
      expected: unclear([first, second, third]),
    },
    {
      kind: "the game is known: its reading is taken",
      known: { games: ["tide_runner"], configs: [] },
      expected: { place: third, finding: null },
    },
    {
      kind: "the config is known: its reading is taken",
      known: { games: [], configs: ["runner_quiet", "full"] },
      expected: { place: second, finding: null },
    },
    {
      kind: "game and config are known: they go before a reading of which only one is",
      known: { games: ["tide_runner", "saltworks"], configs: ["quiet", "runner"] },
      expected: { place: third, finding: null },
    },
    {
      kind: "a known game leaves two readings: only these are named",
      known: { games: ["tide"], configs: [] },
      expected: unclear([first, second]),
    },
    {
      kind: "known names speak for different readings: these are named",
      known: { games: ["tide_runner"], configs: ["runner"] },
      expected: unclear([third, first]),
    },
    {
      kind: "the known names do not occur: all readings are named",
      known: { games: ["saltworks"], configs: ["full"] },
      expected: unclear([first, second, third]),
    },
  ])("$kind", ({ known, expected }) => {
    expect(placeLog(path, layoutOf(pattern), known)).toEqual(expected);
  });

  test("boot and pass that cannot be told apart are not guessed", () => {
    const { place, finding } = placeLog(
      ["a", "b", "boot-1-pass-2.csv"],
      layoutOf("{game}/{config}/{boot}-{pass}"),
    );
    expect(place).toBeNull();
    expect(finding).toMatchObject({
      code: "layout-unclear",
      readings: [
        { boot: "boot", pass: "1-pass-2" },
        { boot: "boot-1", pass: "pass-2" },
        { boot: "boot-1-pass", pass: "2" },
      ],
    });
  });

  test("four readings are all there are", () => {
    const four = placeLog(["a", "b", "c-d-e-f-g.csv"], layoutOf("{game}/{config}/{boot}-{pass}"));
    expect(four.finding).toMatchObject({ code: "layout-unclear", more: false });
    expect(four.finding?.code === "layout-unclear" && four.finding.readings).toHaveLength(4);
  });

  test("of many readings four are named", () => {
    const { finding } = placeLog(["a_b_c_d_e_f.csv"], layoutOf(pattern));
    expect(finding).toMatchObject({ code: "layout-unclear", more: true });
    expect(finding?.code === "layout-unclear" && finding.readings).toHaveLength(4);
  });

  test("a name made to have a million readings, none of them right, costs no time", () => {
    const layout = layoutOf("{boot}_{pass}_{game}_{config}!");
    const begunMs = processorMs();
    const { finding } = placeLog([`${"_".repeat(255)}`], layout, { games: ["x"], configs: ["y"] });
    expect(finding?.code).toBe("layout-no-match");
    // The plain search would take minutes; two seconds leave room for a slow machine.
    expect(processorMs() - begunMs).toBeLessThan(2000);
  });
});

describe("whatever the names", () => {
  const separators = ["_", "-", " ", ".", " - "] as const;
  const name = fc
    .string({ unit: "grapheme", minLength: 1, maxLength: 12 })
    .map((text) => text.normalize("NFC"))
    .filter((text) => !text.includes("/") && text !== "");

  test("names without the separator come out of a flat name as they went in", () => {
    fc.assert(
      fc.property(fc.constantFrom(...separators), name, name, name, (separator, game, config, pass) => {
        fc.pre([game, config, pass].every((part) => !/[-_ .]/.test(part)));
        // Composition must not reach across a separator, and the extension is added by us.
        const file = `${[game, config, pass].join(separator)}.csv`;
        fc.pre(file === file.normalize("NFC"));
        const layout = layoutOf(["{game}", "{config}", "{pass}"].join(separator));
        expect(placeLog([file], layout).place).toEqual({ game, config, pass, boot: null });
      }),
    );
  });

  test("folders of any name are placed by the usual arrangement", () => {
    fc.assert(
      fc.property(name, name, name, (game, config, pass) => {
        const parts = [game, config, `${pass}.csv`];
        fc.pre(parts.every((part) => part === part.normalize("NFC")));
        expect(placeLog(parts).place).toEqual({ game, config, pass, boot: null });
      }),
    );
  });

  test("each reading that is named gives back the path", () => {
    const letters = fc.string({ unit: fc.constantFrom("a", "b", "_"), maxLength: 20 });
    fc.assert(
      fc.property(letters, fc.array(letters), fc.array(letters), (text, games, configs) => {
        fc.pre(text !== "");
        const layout = layoutOf("{game}_{config}_{pass}");
        const { place, finding } = placeLog([`${text}.csv`], layout, { games, configs });
        const readings = finding?.code === "layout-unclear" ? finding.readings : [];
        const all = place === null ? readings : [place];
        for (const { game, config, pass } of all) {
          expect(`${game}_${config}_${pass}`).toBe(text);
          expect([game, config, pass]).not.toContain("");
        }
        expect(finding?.code === "layout-no-match").toBe(!/^.+_.+_.+$/.test(text));
      }),
    );
  });

  test("any pattern gives a layout or mistakes inside it", () => {
    const piece = fc.constantFrom(
      "{game}",
      "{config}",
      "{pass}",
      "{boot}",
      "{",
      "}",
      "/",
      "_",
      "..",
      "\\",
      ".csv",
      "x",
    );
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 8 }), (pieces) => {
        const pattern = pieces.join("");
        const { layout, faults } = parseLayout(pattern);
        expect(layout === null).toBe(faults.length > 0);
        for (const { offset } of faults) {
          expect(offset).toBeGreaterThanOrEqual(0);
          expect(offset).toBeLessThanOrEqual(pattern.length);
        }
      }),
    );
  });
});
