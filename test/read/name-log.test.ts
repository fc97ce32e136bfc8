import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { defaultLayout, parseLayout, placeLog } from "../../src/read/layout.ts";
import { isFileName, layoutWithBoots, nameLog } from "../../src/read/name-log.ts";

describe("the name of a log to be captured", () => {
  test.for(["{game}/{config}/{pass}", "{game}_{config}_{pass}", "{config}/{boot}/{game} {pass}"])(
    "is read back as the place it was made for, or not given: %s",
    (pattern) => {
      const layout = parseLayout(pattern).layout!;
      const hasBoot = pattern.includes("{boot}");
      const name = fc
        .string({ minLength: 1, maxLength: 12, unit: "grapheme" })
        .map((text) => text.normalize("NFC"));
      fc.assert(
        fc.property(name.filter(isFileName), name.filter(isFileName), (game, config) => {
          const place = { game, config, pass: "pass-1", boot: hasBoot ? "boot-2" : null };
          const known = { games: [game], configs: [config] };
          const file = nameLog(place, layout, known);
          if (file !== null) expect(placeLog(file.split("/"), layout, known).place).toEqual(place);
          else expect(pattern).not.toBe("{game}/{config}/{pass}");
        }),
        { numRuns: 200, seed: 9 },
      );
    },
  );

  test("is not given where it could be read in several ways", () => {
    const layout = parseLayout("{game}_{config}_{pass}").layout!;
    const place = { game: "a_b", config: "c", pass: "pass-1", boot: null };
    expect(nameLog(place, layout, { games: ["a_b", "a"], configs: ["c", "b_c"] })).toBeNull();
  });

  test("is not given where the layout has no place for the boot", () => {
    const place = { game: "a", config: "b", pass: "pass-1", boot: "boot-1" };
    const known = { games: [], configs: [] };
    expect(nameLog(place, defaultLayout, known)).toBeNull();
    expect(nameLog({ ...place, boot: null }, defaultLayout, known)).toBe("a/b/pass-1.csv");
    expect(nameLog(place, layoutWithBoots(defaultLayout), known)).toBe("a/b/boot-1_pass-1.csv");
  });

  test.for(["game", "config", "pass"])(
    "is not given where the %s would come back in another form",
    (part) => {
      const place = { game: "a", config: "b", pass: "c", boot: null, [part]: "Cafe\u0301" };
      expect(nameLog(place, defaultLayout, { games: [], configs: [] })).toBeNull();
    },
  );

  test("gets a place for the boot before the pass where the layout has none", () => {
    expect(layoutWithBoots(defaultLayout).pattern).toBe("{game}/{config}/{boot}_{pass}");
    const own = parseLayout("{boot}/{game}/{config}/{pass}").layout!;
    expect(layoutWithBoots(own)).toBe(own);
  });

  test.for([
    "",
    ".",
    "..",
    "a/b",
    "a\\b",
    "c:",
    "what?",
    "a*",
    'say "x"',
    "<b>",
    "a|b",
    " a",
    "a ",
    "a.",
    ".hidden",
    "nul",
    "COM1",
    "lpt1.old",
    "a\u0000",
    "a\u202eb",
    "\u001b[2J",
    "x".repeat(101),
  ])("cannot hold %j", (name) => {
    expect(isFileName(name)).toBe(false);
  });

  test.for([
    "tide-runner",
    "Tide Runner",
    "x".repeat(100),
    // Characters count, whatever they take to store.
    "\u{1f3ae}".repeat(100),
    "54 W",
    "Größe 65 W",
    "console",
    "夜明け",
    "é",
    "=1+1",
    "-x",
    "a.b",
  ])("can hold %j", (name) => {
    expect(isFileName(name)).toBe(true);
  });
});
