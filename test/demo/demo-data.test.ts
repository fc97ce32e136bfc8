import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { gunzipSync } from "node:zlib";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Figures, measureTruth } from "./measure-truth.js";
import { demoFolder, readTruth } from "./read-truth.ts";

const maker = fileURLToPath(new URL("make-demo.js", import.meta.url));
const truth = readTruth();

/** Paths inside the folder, with forward slashes, sorted. */
function listFiles(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: "utf8" })
    .filter((path) => statSync(join(folder, path)).isFile())
    .map((path) => path.replaceAll("\\", "/"))
    .sort();
}

const logs = listFiles(demoFolder).filter((path) => path.endsWith(".csv.gz"));

interface Row {
  readonly elapsedS: number;
  readonly frameTimeMs: number;
  readonly cpuPowerW: number;
}

function readRows(log: string): Row[] {
  const lines = gunzipSync(readFileSync(join(demoFolder, log)))
    .toString("latin1")
    .trimEnd()
    .split("\n");
  expect(lines[0]).toBe("elapsed_s,frame_time_ms,cpu_power_w");
  return lines.slice(1).map((line) => {
    const [elapsedS, frameTimeMs, cpuPowerW] = line.split(",").map(Number) as [number, number, number];
    return { elapsedS, frameTimeMs, cpuPowerW };
  });
}

const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

/** Lag-1 autocorrelation and skewness by their textbook moments. */
function shapeOf(frameTimesMs: readonly number[]) {
  const centre = mean(frameTimesMs);
  const off = frameTimesMs.map((value) => value - centre);
  const variance = mean(off.map((value) => value * value));
  const neighbours = mean(off.slice(1).map((value, i) => value * off[i]!));
  return {
    autocorrelation: neighbours / variance,
    skewness: mean(off.map((value) => value ** 3)) / variance ** 1.5,
  };
}

describe("the demo generator", () => {
  let folder = "";
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), "demo-"));
    // Another locale and time zone than the committed files were made in: neither may show.
    const env = { ...process.env, LC_ALL: "de_DE.UTF-8", LANG: "de_DE.UTF-8", TZ: "Asia/Kolkata" };
    execFileSync(process.execPath, [maker, folder, "--logs-only"], { env });
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  test("makes exactly the committed logs again, byte for byte of their text", () => {
    expect(listFiles(folder)).toEqual(logs);
    const different = logs.filter((log) => {
      const made = gunzipSync(readFileSync(join(folder, log)));
      return !made.equals(gunzipSync(readFileSync(join(demoFolder, log))));
    });
    expect(different).toEqual([]);
  });

  test("finds the committed truth again with passes enough to see it", () => {
    const passes = 60;
    const games = ["ninth-lantern", "saltworks", "moss-and-marrow"];
    const again = measureTruth(truth.seed, passes, games);
    const committed = truth.changes.filter(({ game }) => games.includes(game));
    expect(again.changes).toHaveLength(6);
    for (const [i, { game, config, changePct, standardErrorPct }] of again.changes.entries()) {
      expect({ game, config }).toEqual({ game: committed[i]?.game, config: committed[i]?.config });
      for (const metric of Object.keys(changePct) as (keyof Figures)[]) {
        const offPct = Math.abs(changePct[metric] - (committed[i]?.changePct[metric] ?? Number.NaN));
        // Five standard errors of the rougher of the two, plus the rounding of both.
        expect(offPct).toBeLessThanOrEqual(5 * standardErrorPct[metric] + 0.0002);
      }
    }
  });
});

describe("the demo data", () => {
  test("holds six games, three power limits and four passes each, in at most 6 MB", () => {
    const places = logs.map((log) => log.split("/"));
    expect(new Set(places.map(([game]) => game)).size).toBe(6);
    expect(new Set(places.map(([, config]) => config)).size).toBe(3);
    expect(logs).toHaveLength(6 * 3 * 4);
    const bytes = listFiles(demoFolder).reduce((sum, file) => sum + statSync(join(demoFolder, file)).size, 0);
    expect(bytes).toBeLessThanOrEqual(6_000_000);
  });

  test("compressed files tell neither a time nor an operating system", () => {
    // Source: RFC 1952, section 2.3: bytes 4 to 7 are the time (0: none), byte 9 the system (255: unknown).
    for (const log of logs) {
      const head = readFileSync(join(demoFolder, log)).subarray(0, 10);
      expect([...head.subarray(4, 8), head[9]]).toEqual([0, 0, 0, 0, 255]);
    }
  });

  test.for(logs)("%s has realistic frame times and a clock that agrees with them", (log) => {
    const rows = readRows(log);
    const frameTimesMs = rows.map((row) => row.frameTimeMs);
    expect(rows.length).toBeGreaterThanOrEqual(10_000);
    expect(Math.min(...frameTimesMs)).toBeGreaterThan(1);
    // Frame times carry over to the next and lean to the slow side, and no pass is free of stutters.
    const { autocorrelation, skewness } = shapeOf(frameTimesMs);
    expect(autocorrelation).toBeGreaterThan(0.05);
    expect(skewness).toBeGreaterThan(0.5);
    expect(Math.max(...frameTimesMs)).toBeGreaterThan(1.5 * mean(frameTimesMs));

    let sumMs = 0;
    let clockOffMs = 0;
    for (const { elapsedS, frameTimeMs } of rows) {
      sumMs += frameTimeMs;
      clockOffMs = Math.max(clockOffMs, Math.abs(elapsedS * 1000 - sumMs));
    }
    // The clock is printed in whole milliseconds.
    expect(clockOffMs).toBeLessThan(0.51);
  });

  test("every game has hitches of more than three times its mean frame time", () => {
    for (const game of new Set(logs.map((log) => log.split("/")[0]))) {
      const worst = logs
        .filter((log) => log.startsWith(`${game}/`))
        .map((log) => readRows(log).map((row) => row.frameTimeMs))
        .map((frameTimesMs) => Math.max(...frameTimesMs) / mean(frameTimesMs));
      expect(Math.max(...worst)).toBeGreaterThan(3);
    }
  });

  test("the processor's power stays near or below its limit, and is renewed ten times a second", () => {
    const limits: Record<string, number> = { "quiet-35w": 35, "balanced-54w": 54, "full-65w": 65 };
    for (const log of logs) {
      const rows = readRows(log);
      const limitW = limits[log.split("/")[1] ?? ""] ?? 0;
      const joules = rows.reduce((sum, row) => sum + row.cpuPowerW * row.frameTimeMs, 0) / 1000;
      const seconds = rows.reduce((sum, row) => sum + row.frameTimeMs, 0) / 1000;
      expect(joules / seconds).toBeLessThan(1.02 * limitW);
      expect(joules / seconds).toBeGreaterThan(0.6 * limitW);
      const changes = rows.filter((row, i) => i > 0 && row.cpuPowerW !== rows[i - 1]?.cpuPowerW).length;
      expect(changes / seconds).toBeGreaterThan(3);
      expect(changes / seconds).toBeLessThanOrEqual(10);
    }
  });

  test("the committed truth names what must be found for every game and power limit", () => {
    const cells = new Set(logs.map((log) => log.split("/").slice(0, 2).join("/")));
    for (const { game, config } of [...truth.mustFind, ...truth.mustNot, truth.badPass]) {
      expect(cells).toContain(`${game}/${config}`);
    }
    expect(logs).toContain(`${truth.badPass.game}/${truth.badPass.config}/${truth.badPass.pass}.csv.gz`);
    const compared = truth.changes.map(({ game, config }) => `${game}/${config}`);
    expect(new Set(compared).size).toBe(12);
    expect(new Set(truth.mustFind.map(({ game, config }) => `${game}/${config}`))).toEqual(new Set(compared));
  });
});
