import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import path from "node:path";
import { expect, test } from "vitest";
import { userCacheFolder } from "../../src/cli/user-cache-folder.ts";
import { openEntryStore } from "../../src/pipeline/entry-store.ts";
import { makeFolder } from "../support/run-cli.ts";

test("what was put is got back, by another process's store too, and nothing else", () => {
  const folder = path.join(makeFolder(), "store");
  openEntryStore(folder).put([
    ["key", "two\nlines\n"],
    ["other key", "text"],
  ]);
  const store = openEntryStore(folder);
  expect(store.get("key")).toBe("two\nlines\n");
  expect(store.get("other key")).toBe("text");
  expect(store.get("key ")).toBeNull();
  store.put([["key", ""]]);
  expect(store.get("key")).toBe("");
});

test("a store that is only read makes no folder", () => {
  const folder = path.join(makeFolder(), "store");
  const store = openEntryStore(folder);
  expect(store.get("key")).toBeNull();
  store.put([]);
  expect(existsSync(folder)).toBe(false);
});

test("the store is bounded: old entries give way to new ones, and files of others stay", () => {
  const folder = makeFolder();
  const foreign = path.join(folder, "holiday.jpg");
  writeFileSync(foreign, "x".repeat(20_000));
  utimesSync(foreign, 1, 1);
  const store = openEntryStore(folder, 10_000);
  const ownBytes = (): number =>
    readdirSync(folder)
      .map((name) => path.join(folder, name))
      .filter((file) => file !== foreign)
      .reduce((sum, file) => sum + statSync(file).size, 0);
  const text = "x".repeat(1_000);
  for (let i = 0; i < 9; i++) store.put([[`key ${i}`, text]]);
  expect(Array.from({ length: 9 }, (_, i) => store.get(`key ${i}`))).toEqual(Array(9).fill(text));
  for (let i = 9; i < 200; i++) {
    store.put([[`key ${i}`, text]]);
    expect(store.get(`key ${i}`)).toBe(text);
    expect(ownBytes()).toBeLessThanOrEqual(10_000);
  }
  expect(store.get("key 0")).toBeNull();
  expect(existsSync(foreign)).toBe(true);
});

/** The one entry of a store that holds nothing else. */
const onlyFile = (folder: string): string => path.join(folder, readdirSync(folder)[0] ?? "");

test.for<{ how: string; spoil: (file: string, text: string) => void }>([
  { how: "cut short", spoil: (file, text) => writeFileSync(file, text.slice(0, -1)) },
  { how: "changed", spoil: (file, text) => writeFileSync(file, text.replace("kept", "sent")) },
  { how: "emptied", spoil: (file) => writeFileSync(file, "") },
  {
    how: "without its first line",
    spoil: (file, text) => writeFileSync(file, text.split("\n").at(-1) ?? ""),
  },
  {
    how: "a folder by now",
    spoil: (file) => {
      rmSync(file);
      mkdirSync(file);
    },
  },
])("an entry that is $how is none", ({ spoil }) => {
  const folder = makeFolder();
  const store = openEntryStore(folder);
  store.put([["key", "what was kept"]]);
  const file = onlyFile(folder);
  spoil(file, readFileSync(file, "utf8"));
  expect(store.get("key")).toBeNull();
});

test("an entry that cannot be put into its place leaves nothing behind and is not there", () => {
  const folder = makeFolder();
  const store = openEntryStore(folder);
  store.put([["key", "text"]]);
  const file = onlyFile(folder);
  rmSync(file);
  mkdirSync(path.join(file, "in the way"), { recursive: true });
  store.put([["key", "text"]]);
  expect(readdirSync(folder)).toEqual([path.basename(file)]);
  expect(store.get("key")).toBeNull();
});

test.skipIf(process.platform === "win32")("what is kept is for its owner alone", () => {
  const folder = path.join(makeFolder(), "store");
  openEntryStore(folder).put([["key", "text"]]);
  expect(statSync(folder).mode & 0o777).toBe(0o700);
  expect(statSync(onlyFile(folder)).mode & 0o777).toBe(0o600);
});

// An entry of 35 characters takes 100 bytes: 64 of its digest, and a line feed.
test.for([
  { entries: 10, mostBytes: 1000, left: 10 },
  { entries: 11, mostBytes: 1000, left: 5 },
  { entries: 1, mostBytes: 99, left: 0 },
])("of $entries entries of 100 bytes, $left newest are left under a limit of $mostBytes", (row) => {
  const folder = makeFolder();
  const unbounded = openEntryStore(folder);
  const keys = Array.from({ length: row.entries }, (_, i) => `key ${i}`);
  const text = "x".repeat(35);
  for (const [i, key] of keys.slice(0, -1).entries()) {
    const before = new Set(readdirSync(folder));
    unbounded.put([[key, text]]);
    const name = readdirSync(folder).find((each) => !before.has(each)) ?? "";
    utimesSync(path.join(folder, name), 1e9 + i, 1e9 + i);
  }
  // A folder is no entry, whatever its name.
  mkdirSync(path.join(folder, "0".repeat(64)));
  openEntryStore(folder, row.mostBytes).put([[keys.at(-1) ?? "", text]]);
  const isLeft = keys.map((key) => unbounded.get(key) !== null);
  expect(isLeft).toEqual(keys.map((_, i) => i >= row.entries - row.left));
  expect(existsSync(path.join(folder, "0".repeat(64)))).toBe(true);
});

test("what a process that was killed left half-written goes with the old entries", () => {
  const folder = makeFolder();
  const left = path.join(folder, ".0123456789abcdef");
  writeFileSync(left, "x".repeat(1_500));
  utimesSync(left, 1, 1);
  openEntryStore(folder, 2_000).put([["key", "x".repeat(700)]]);
  expect(readdirSync(folder)).toHaveLength(1);
  expect(existsSync(left)).toBe(false);
});

test.for([
  { env: { XDG_CACHE_HOME: "/var/kept" }, platform: "linux", expected: "/var/kept/runjury" },
  { env: { XDG_CACHE_HOME: "/var/kept" }, platform: "darwin", expected: "/var/kept/runjury" },
  // Source: XDG Base Directory Specification 0.8: a relative path is to be ignored.
  { env: { XDG_CACHE_HOME: "kept" }, platform: "linux", expected: /\/\.cache\/runjury$/ },
  { env: {}, platform: "linux", expected: /\/\.cache\/runjury$/ },
  { env: {}, platform: "darwin", expected: /\/Library\/Caches\/runjury$/ },
  { env: { LOCALAPPDATA: "/local" }, platform: "win32", expected: "/local/runjury/cache" },
] as const)("the user's cache folder on $platform with $env", ({ env, platform, expected }) => {
  const folder = userCacheFolder(env, platform);
  if (typeof expected === "string") expect(folder).toBe(expected);
  else expect(folder).toMatch(expected);
});
