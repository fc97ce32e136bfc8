import { createHash } from "node:crypto";
import { rmSync } from "node:fs";
import path from "node:path";
import { describe, expect, test } from "vitest";
import { findOrigin, originOf } from "../../src/pipeline/find-origin.ts";
import { readSessionOf } from "../../src/pipeline/open-session.ts";
import { defaultSession } from "../../src/read/default-session.ts";
import { readSession, type Session } from "../../src/read/session-file.ts";
import { version } from "../../src/version.ts";
import { putPipe } from "../support/put-pipe.ts";
import { refusalOf } from "../support/refusal-of.ts";
import { makeFolder, put } from "../support/run-cli.ts";

const sha256 = (text: string): string => createHash("sha256").update(text).digest("hex");

const digestOf = (text: string): string =>
  originOf("f", undefined, readSession(text, "session.yaml").session as Session).settingsSha256;

describe("what a judgement is made from", () => {
  test("is the folder, the session file and every log with its sensor log, in the order of names", async () => {
    const folder = makeFolder();
    put(folder, "a/b/2.csv", "two");
    put(folder, "a/b/1.csv", "one");
    put(folder, "a/b/1.sensors.csv", "warm");
    put(folder, "a/b/1.txt", "the same pass again");
    const session = path.join(folder, "session.yaml");
    expect(await findOrigin(folder, session)).toEqual({
      version,
      folder,
      session,
      settingsSha256: originOf(folder, undefined, defaultSession).settingsSha256,
      captures: [
        { file: path.join(folder, "a/b/1.csv"), sha256: sha256("one") },
        { file: path.join(folder, "a/b/1.sensors.csv"), sha256: sha256("warm") },
        { file: path.join(folder, "a/b/2.csv"), sha256: sha256("two") },
      ],
    });
  });

  test("is nothing where the captures are gone", async () => {
    const folder = makeFolder();
    const session = path.join(folder, "session.yaml");
    expect(await findOrigin(folder, session)).toBeNull();
    rmSync(folder, { recursive: true });
    expect(await findOrigin(folder, session)).toBeNull();
  });

  test("follows the session file that was used, and is that of a folder without one where it is gone", async () => {
    const folder = makeFolder();
    put(folder, "a/b/1.csv", "one");
    const other = makeFolder();
    put(other, "elsewhere.yaml", "matters: 2%");
    const file = path.join(other, "elsewhere.yaml");
    const digest = async () => (await findOrigin(folder, file))?.settingsSha256;
    expect(await digest()).toBe(digestOf("matters: 2%"));
    rmSync(file);
    expect(await digest()).toBe(digestOf(""));
    put(folder, "session.yaml", "matters: 4%");
    expect(await digest()).toBe(digestOf("matters: 4%"));
  });
});

describe("the digest of a session", () => {
  test("names the file that stands in the folder unless another is given", () => {
    expect(originOf("f", undefined, defaultSession).session).toBe(path.join("f", "session.yaml"));
    expect(originOf("f", "other.yaml", defaultSession).session).toBe("other.yaml");
  });

  test("counts what is said, not where it stands nor in which words", () => {
    const said = digestOf("baseline: stock\ngames: { tide: { scene: harbour } }");
    expect(digestOf("# note\n\ngames:\n  tide:\n    scene: harbour\nbaseline: stock\n")).toBe(said);
    expect(digestOf("baseline: other\ngames: { tide: { scene: harbour } }")).not.toBe(said);
    expect(digestOf("baseline: stock\ngames: { tide: { scene: pier } }")).not.toBe(said);
    expect(digestOf("matters: 2%")).not.toBe(digestOf(""));
    // What holds anyway may be said.
    expect(digestOf('layout: "{game}/{config}/{pass}"\nmatters: 3%')).toBe(digestOf(""));
  });

  test("does not count keys that say nothing, so that new ones change no digest", () => {
    // What a session without a file says, as JSON without nulls, empty lists and places.
    const { layout, lows, mattersPct, confidencePct, falseAlarmControl } = defaultSession;
    const said = { layout, lows, mattersPct, confidencePct, falseAlarmControl, trim: { skipS: 0 }, log: {} };
    expect(originOf("f", undefined, defaultSession).settingsSha256).toBe(sha256(JSON.stringify(said)));
    // An empty object, a text without characters and a zero are said.
    const more = { ...defaultSession, later: null, list: [], at: { line: 1 } };
    expect(originOf("f", undefined, more).settingsSha256).toBe(sha256(JSON.stringify(said)));
    const zero = { ...defaultSession, later: 0 };
    expect(originOf("f", undefined, zero).settingsSha256).not.toBe(sha256(JSON.stringify(said)));
    const listed = { ...defaultSession, list: [0] };
    expect(originOf("f", undefined, listed).settingsSha256).not.toBe(sha256(JSON.stringify(said)));
  });
});

describe("the session of a folder", () => {
  test("is that of the file given, else of its own, else the one without a file", async () => {
    const folder = makeFolder();
    expect(await readSessionOf(folder, undefined)).toBe(defaultSession);
    put(folder, "session.yaml", "matters: 2%");
    expect((await readSessionOf(folder, undefined)).mattersPct).toBe(2);
    put(folder, "other.yaml", "matters: 4%");
    expect((await readSessionOf(folder, path.join(folder, "other.yaml"))).mattersPct).toBe(4);
  });

  test("may be a pipe where it is given; one that lies in the folder is not waited for", async () => {
    const folder = makeFolder();
    const file = path.join(makeFolder(), "mine.yaml");
    putPipe(file, "matters: 2%");
    expect((await readSessionOf(folder, file)).mattersPct).toBe(2);
    putPipe(path.join(folder, "session.yaml"));
    expect(await refusalOf(() => readSessionOf(folder, undefined))).toMatchObject([
      { code: "not-a-file", at: { file: path.join(folder, "session.yaml") } },
    ]);
  });

  test("is refused where the file given is not there, or cannot be used", async () => {
    const folder = makeFolder();
    const file = path.join(folder, "none.yaml");
    expect(await refusalOf(() => readSessionOf(folder, file))).toEqual([
      { code: "session-missing", severity: "error", at: { file } },
    ]);
    put(folder, "session.yaml", "mater: 2%");
    expect(await refusalOf(() => readSessionOf(folder, undefined))).toMatchObject([
      {
        code: "key-unknown",
        key: "mater",
        nearest: "matters",
        at: { file: path.join(folder, "session.yaml") },
      },
    ]);
  });
});
