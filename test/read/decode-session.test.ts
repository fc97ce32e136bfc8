import { expect, test } from "vitest";
import { decodeSession } from "../../src/read/decode-session.ts";
import { readSession } from "../../src/read/session-file.ts";

const text = "title: Gr\u00fcn \u98a8\nbaseline: stock\n";
const utf16 = (isBig: boolean): Uint8Array => {
  const bytes = Buffer.from(`\ufeff${text}`, "utf16le");
  return isBig ? bytes.swap16() : bytes;
};

test.for([
  { how: "UTF-8", bytes: Buffer.from(text) },
  { how: "UTF-8 with a mark", bytes: Buffer.from(`\ufeff${text}`) },
  { how: "UTF-16, low byte first", bytes: utf16(false) },
  { how: "UTF-16, high byte first", bytes: utf16(true) },
])("a session file in $how is read", ({ bytes }) => {
  const decoded = decodeSession(bytes, "session.yaml");
  expect(decoded.problems).toEqual([]);
  expect(readSession(decoded.text ?? "", "session.yaml").session?.title).toBe("Gr\u00fcn \u98a8");
});

test("any other is refused with the line, as its names could be read wrongly", () => {
  expect(decodeSession(Buffer.from("baseline: stock\ntitle: Gr\u00fcn\n", "latin1"), "session.yaml")).toEqual(
    {
      text: null,
      problems: [{ code: "session-not-utf8", severity: "error", at: { file: "session.yaml", line: 2 } }],
    },
  );
});
