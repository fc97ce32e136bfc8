import { existsSync, readdirSync } from "node:fs";
import path from "node:path";
import { expect, test } from "vitest";
import { userCacheFolder } from "../src/cli/user-cache-folder.ts";
import { openEntryStore } from "../src/entry-store.ts";
import { makeFolder } from "./support/run-cli.ts";

test("what was put is got back, by another process's store too, and nothing else", () => {
  const folder = path.join(makeFolder(), "store");
  openEntryStore(folder).put("key", "two\nlines\n");
  const store = openEntryStore(folder);
  expect(store.get("key")).toBe("two\nlines\n");
  expect(store.get("key ")).toBeNull();
  store.put("key", "");
  expect(store.get("key")).toBe("");
});

test("a store that is only read makes no folder", () => {
  const folder = path.join(makeFolder(), "store");
  expect(openEntryStore(folder).get("key")).toBeNull();
  expect(existsSync(folder)).toBe(false);
});

test("the store is bounded: old entries give way to new ones", () => {
  const folder = makeFolder();
  const store = openEntryStore(folder, 4);
  const puts = 2_000;
  for (let i = 0; i < puts; i++) store.put(`key ${i}`, "text");
  const kept = readdirSync(folder).reduce(
    (sum, shard) => sum + readdirSync(path.join(folder, shard)).length,
    0,
  );
  expect(kept).toBeLessThanOrEqual(256 * 4);
  expect(kept).toBeGreaterThan(256);
  expect(store.get(`key ${puts - 1}`)).toBe("text");
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
