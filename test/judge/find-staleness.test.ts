import { describe, expect, test } from "vitest";
import { findStaleness } from "../../src/judge/find-staleness.ts";
import type { Origin } from "../../src/judge/judgement.ts";

const captures = (...digests: readonly string[]) =>
  digests.map((sha256, i) => ({ file: `pass-${i + 1}.csv`, sha256 }));
const made: Origin = {
  ...{ version: "1.0.0", folder: "captures", session: "session.yaml", settingsSha256: "s" },
  captures: captures("a", "b"),
};
const stale = { code: "judgement-stale", changed: [], missing: [], added: [] };
const settings = { code: "judgement-settings-changed", session: "session.yaml" };

describe("a judgement against its captures as they are now", () => {
  test.for([
    { title: "nothing is another", made, now: made, expected: [] },
    {
      title: "another place alone is no other session",
      ...{ made, now: { ...made, folder: "elsewhere", session: "other.yaml" }, expected: [] },
    },
    {
      title: "it does not say what it was made from",
      ...{ made: undefined, now: made, expected: [{ code: "judgement-origin-unknown" }] },
    },
    {
      title: "the captures are gone",
      ...{ made, now: null, expected: [{ code: "judgement-captures-gone", folder: "captures" }] },
    },
    {
      title: "a capture was changed",
      ...{ made, now: { ...made, captures: captures("a", "other") } },
      expected: [{ ...stale, changed: ["pass-2.csv"] }],
    },
    {
      title: "a capture is missing",
      ...{
        made,
        now: { ...made, captures: captures("a") },
        expected: [{ ...stale, missing: ["pass-2.csv"] }],
      },
    },
    {
      title: "a capture was added",
      ...{ made, now: { ...made, captures: captures("a", "b", "c") } },
      expected: [{ ...stale, added: ["pass-3.csv"] }],
    },
    {
      title: "one was changed, and another took the place of a third",
      made: { ...made, captures: [...captures("a", "b"), { file: "old.csv", sha256: "o" }] },
      now: { ...made, captures: [...captures("x", "b"), { file: "new.csv", sha256: "n" }] },
      expected: [{ ...stale, changed: ["pass-1.csv"], missing: ["old.csv"], added: ["new.csv"] }],
    },
    {
      title: "the session says something else",
      ...{ made, now: { ...made, settingsSha256: "t" }, expected: [settings] },
    },
    {
      title: "both",
      ...{ made, now: { ...made, settingsSha256: "t", captures: captures("a") } },
      expected: [{ ...stale, missing: ["pass-2.csv"] }, settings],
    },
  ] as { title: string; made: Origin | undefined; now: Origin | null; expected: object[] }[])(
    "$title",
    ({ made: before, now, expected }) => {
      const whole = (problem: object) => ({ severity: "warning", at: { file: "saved.json" }, ...problem });
      expect(findStaleness("saved.json", before, now, "1.0.0")).toEqual(expected.map(whole));
    },
  );

  test("another version is told first, captures at hand or not", () => {
    const codes = (now: Origin | null) => findStaleness("saved.json", made, now, "1.1.0");
    expect(codes(made)).toMatchObject([{ code: "judgement-version", made: "1.0.0", now: "1.1.0" }]);
    expect(codes(null).map(({ code }) => code)).toEqual(["judgement-version", "judgement-captures-gone"]);
  });
});
