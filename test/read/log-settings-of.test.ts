import { describe, expect, test } from "vitest";
import { logSettingsOf, ownLogSettings } from "../../src/read/log-settings-of.ts";
import { readSession } from "../../src/read/session-file.ts";

const text = `log:
  frame-time: { column: ms }
  segment: 1
  for:
    tide/stock/pass-1: { segment: 3 }
    tide/stock: { segment: 2, clock: { column: t } }
    tide: { stream: { equals: tide.exe }, segment: 4 }
    moss/stock/monday/pass-1: { segment: 5 }
`;
const { session } = readSession(text, "session.yaml");
if (session === null) throw new Error("no session");

describe("what a session says about some logs only, the narrower name winning", () => {
  const frameTime = { column: "ms" };
  const stream = { equals: "tide.exe" };
  const clock = { column: "t" };
  test.for([
    { game: "moss", config: "stock", boot: null, pass: "pass-1", says: { frameTime, segment: 1 } },
    { game: "moss", config: "stock", boot: "monday", pass: "pass-1", says: { frameTime, segment: 5 } },
    { game: "tide", config: "quiet", boot: null, pass: "pass-1", says: { frameTime, stream, segment: 4 } },
    { game: "tide", config: "stock", boot: null, pass: "2", says: { frameTime, stream, clock, segment: 2 } },
    {
      game: "tide",
      config: "stock",
      boot: null,
      pass: "pass-1",
      says: { frameTime, stream, clock, segment: 3 },
    },
    {
      game: "tide",
      config: "stock",
      boot: "b",
      pass: "pass-1",
      says: { frameTime, stream, clock, segment: 3 },
    },
  ])("$game/$config/$pass in boot $boot", ({ says, ...place }) => {
    expect(logSettingsOf(session, place)).toEqual(says);
  });

  test("a log without a place is read as all are, and one of which nothing is said has nothing of its own", () => {
    expect(logSettingsOf(session, null)).toEqual({ frameTime, segment: 1 });
    expect(ownLogSettings(session, { game: "moss", config: "stock", boot: null, pass: "pass-1" })).toBeNull();
  });
});
