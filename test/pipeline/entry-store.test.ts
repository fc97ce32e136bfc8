import { existsSync, readdirSync, statSync, utimesSync, writeFileSync } from "node:fs";
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
