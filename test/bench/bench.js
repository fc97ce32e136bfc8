// What the program takes as whole processes, start included, beside general tools on the same files:
//   npm run bench [-- <part>... --runs <number> --folder <folder that is kept> --packages <folder with the tools>]
// Parts are below; all but "large" (4 GB) run where none is named. Each round runs all contenders in turn; medians of
// rounds, ratios within rounds. The general tools come from npm into a temporary folder.
import { execFileSync, spawnSync } from "node:child_process";
import {
  copyFileSync,
  existsSync,
  linkSync,
  mkdirSync,
  mkdtempSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import os from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { median, printResults, ratioOf, runByTurns, runScript } from "./measure-process.js";
import { shapes, writeLongLog, writePass, writeSession } from "./write-sessions.js";

const inHere = (name) => fileURLToPath(new URL(name, import.meta.url));
const program = inHere("../../bin/runjury.js");
const readBytes = inHere("./rivals/read-bytes.js");
const digestLines = inHere("./rivals/digest-lines.js");
const scanRows = inHere("./rivals/scan-rows.js");

const { values: options, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    runs: { type: "string", default: "5" },
    folder: { type: "string" },
    packages: { type: "string" },
  },
});
const runs = Number(options.runs);
const temporary = mkdtempSync(path.join(os.tmpdir(), "bench-"));
const folder = options.folder ?? temporary;
const goals = [];

const parts = {
  narrow: () => benchSession("narrow", 0.75),
  wide: () => benchSession("wide", 0.55),
  named: () => benchSession("named", 0.55),
  sensors: () => benchSession("sensors"),
  cache: benchCache,
  inspect: benchInspect,
  captions: benchCaptions,
  cost: benchCost,
  start: benchStart,
  large: benchLarge,
};

try {
  const wanted = positionals.length > 0 ? positionals : Object.keys(parts).filter((part) => part !== "large");
  const unknown = wanted.filter((part) => parts[part] === undefined);
  if (unknown.length > 0) throw new Error(`no part ${unknown}; there are ${Object.keys(parts).join(", ")}`);
  console.log(
    `${os.cpus().length} cores (load ${os.loadavg()[0].toFixed(1)} at the start), ${(os.totalmem() / 2 ** 30).toFixed(0)} GB, ` +
      `Node ${process.version}, ${runs} rounds`,
  );
  for (const part of wanted) parts[part]();
  console.log("\ngoal                                                             is       wanted");
  for (const { what, is, most, least = Number.NEGATIVE_INFINITY } of goals) {
    const wants = least > Number.NEGATIVE_INFINITY ? `${least} to ${most}` : `at most ${most}`;
    console.log(
      `${what.padEnd(64)} ${is.toFixed(2).padEnd(8)} ${wants.padEnd(14)} ${is <= most && is >= least ? "met" : "NOT MET"}`,
    );
  }
} finally {
  rmSync(temporary, { recursive: true, force: true });
}

function goal(what, is, most, least) {
  goals.push({ what, is, most, ...(least !== undefined && { least }) });
}

/** The session of one shape, written where it is not there yet. */
function sessionOf(shape) {
  const session = path.join(folder, shape);
  if (!existsSync(session)) writeSession(session, shape);
  const { logs, bytes } = sizeOf(session);
  console.log(
    `\n${shape}: ${logs} logs of 20,000 frames, ${(bytes / 1e6).toFixed(0)} MB, ${shapes[shape].header}`,
  );
  return session;
}

function sizeOf(session) {
  const files = execFileSync("find", [session, "-name", "*.csv", "-size", "+0"], { encoding: "utf8" })
    .trim()
    .split("\n");
  return { logs: files.length, bytes: files.reduce((sum, file) => sum + statSync(file).size, 0) };
}

/** DuckDB and Polars, each only where it can be had. */
function rivalsFor(session) {
  const packages = options.packages ?? path.join(temporary, "packages");
  if (!existsSync(packages)) {
    mkdirSync(packages);
    writeFileSync(path.join(packages, "package.json"), "{}");
    const install = (names) =>
      spawnSync("npm", ["install", "--no-audit", "--no-fund", ...names], {
        cwd: packages,
        shell: process.platform === "win32",
      });
    install(["@duckdb/node-api", "nodejs-polars"]);
  }
  return ["duckdb", "polars"]
    .map((name) => ({
      name: `${name}, figures per pass alone`,
      script: inHere(`./rivals/${name}.js`),
      args: [packages, session],
    }))
    .filter(({ script, args }) => {
      try {
        runScript(script, args);
        return true;
      } catch (error) {
        console.log(`  left out: ${String(error.message).trim().split("\n").slice(0, 2).join(" ")}`);
        return false;
      }
    });
}

/** @param most what the program may take of the time of the fastest general tool; left out where nobody has said */
function benchSession(shape, most) {
  const session = sessionOf(shape);
  const judge = ["judge", session, "--format", "json", "--no-cache"];
  const ours = JSON.parse(runScript(program, judge).stdout);
  const figures = new Map(
    ours.passes.map(({ file, avgFps, low1Fps, low01Fps }) => [file, [avgFps, low1Fps, low01Fps]]),
  );
  // Nobody is faster by reading less.
  const agrees = (stdout) => {
    const rows = JSON.parse(stdout);
    if (rows.length !== figures.size) throw new Error(`${rows.length} passes of ${figures.size}`);
    for (const [file, ...theirs] of rows) {
      for (const [i, figure] of theirs.entries()) {
        if (!(Math.abs(figure / figures.get(file)[i] - 1) < 1e-9))
          throw new Error(`${file}: ${figure} is not ${figures.get(file)[i]}`);
      }
    }
  };
  const readsAll = (stdout) => {
    if (JSON.parse(stdout).passes.length !== figures.size) throw new Error("not all passes were read");
  };
  const cache = path.join(temporary, "first-run-cache");
  const results = runByTurns(
    [
      { name: "runjury judge", script: program, args: judge, check: readsAll },
      {
        name: "runjury judge, one thread",
        script: program,
        args: [...judge, "--threads", "1"],
        check: readsAll,
      },
      {
        name: "runjury judge, first run with cache",
        before: () => rmSync(cache, { recursive: true, force: true }),
        script: program,
        args: [...judge.slice(0, -1), "--cache-dir", cache],
        check: readsAll,
      },
      { name: "reading the bytes alone, in Node", script: readBytes, args: [session] },
      { name: "the same, SHA-256, line ends, on all cores", script: digestLines, args: [session] },
      ...rivalsFor(session).map((rival) => ({ ...rival, check: agrees })),
    ],
    runs,
  );
  printResults(results);
  const [whole, single, , bytes, , ...rivals] = results;
  if (rivals.length > 0 && most !== undefined) {
    const fastest = rivals.reduce((a, b) => (ratioOf(a, b) <= 1 ? a : b));
    goal(`${shape}: judge against ${fastest.name.split(",")[0]}, wall`, ratioOf(whole, fastest), most);
    goal(`${shape}: the same in seconds of all cores`, ratioOf(whole, fastest, "cpuS"), most);
  }
  if (most !== undefined) goal(`${shape}: judge against reading the bytes, wall`, ratioOf(whole, bytes), 4);
  goal(
    `${shape}: peak memory, MB`,
    Math.max(...[whole, single].flatMap(({ rounds }) => rounds.map(({ peakMb }) => peakMb))),
    200,
  );
}

function benchCache() {
  const session = sessionOf("narrow");
  const cache = path.join(temporary, "cache");
  const added = path.join(session, "game-1", "stock", "pass-6.csv");
  rmSync(added, { force: true });
  // A file is believed to be as it was two seconds after it was written.
  runScript(program, ["judge", session, "--format", "json", "--cache-dir", cache]);
  const args = ["judge", session, "--format", "json", "--cache-dir", cache];
  try {
    const results = runByTurns(
      [
        { name: "second run", before: () => rmSync(added, { force: true }), script: program, args },
        {
          name: "one pass added",
          before: (round) => {
            writePass(path.join(temporary, "new", `${round}.csv`), "narrow", 20_000, 5);
            copyFileSync(path.join(temporary, "new", `${round}.csv`), added);
          },
          script: program,
          args,
        },
      ],
      runs,
    );
    printResults(results);
    goal("second run of 240 passes, s", median(results[0].rounds.map(({ wallS }) => wallS)), 0.25);
    goal("one pass added to 240, s", median(results[1].rounds.map(({ wallS }) => wallS)), 0.3);
    goal("the same in seconds of all cores", median(results[1].rounds.map(({ cpuS }) => cpuS)), 0.3);
  } finally {
    rmSync(added, { force: true });
  }
}

function benchInspect() {
  const log = path.join(folder, "long.csv");
  if (!existsSync(log)) writeLongLog(log, "wide", 500e6);
  const few = path.join(temporary, "few.csv");
  writePass(few, "wide", 500, 5);
  console.log(`\none log of ${(statSync(log).size / 1e6).toFixed(0)} MB`);
  const forget = () => spawnSync("dd", [`if=${log}`, "iflag=nocache", "count=0"]);
  const args = ["inspect", log, "--format", "json"];
  const results = runByTurns(
    [
      { name: "inspect, the file not in memory", before: forget, script: program, args },
      { name: "reading its bytes alone, the same", before: forget, script: readBytes, args: [log] },
      { name: "inspect, the file in memory", script: program, args },
      { name: "reading its bytes alone, the same", script: readBytes, args: [log] },
      { name: "and the scanner's inner loop", script: scanRows, args: [log] },
      { name: "inspect, a log of 500 frames", script: program, args: ["inspect", few, "--format", "json"] },
    ],
    runs,
  );
  printResults(results);
  goal("inspect against reading the bytes, file not in memory", ratioOf(results[0], results[1]), 1.2);
  goal("inspect: peak memory, MB", Math.max(...results[0].rounds.map(({ peakMb }) => peakMb)), 150);
}

/** What the running figures add to reading a log and measuring it once. */
function benchCaptions() {
  const log = path.join(folder, "captions-log.csv");
  if (!existsSync(log)) writePass(log, "narrow", 1_000_000, 5);
  console.log("\none log of 1,000,000 frames");
  const seesAll = (stdout) => {
    const frames = Number(stdout.trimEnd().split("\r\n").at(-1)?.split(",")[3]);
    if (!(frames > 0.999e6)) throw new Error(`the last caption has seen ${frames} frames`);
  };
  const results = runByTurns(
    [
      { name: "captions, CSV", script: program, args: ["captions", log, "--format", "csv"], check: seesAll },
      { name: "inspect", script: program, args: ["inspect", log, "--format", "json"] },
    ],
    runs,
  );
  printResults(results);
  const [captions, inspect] = results.map(({ rounds }) => median(rounds.map(({ cpuS }) => cpuS)));
  goal("captions of 1e6 frames beyond reading them, s of all cores", captions - inspect, 1);
}

/** One million frames per log at most; the same logs under many names, as writing 1e8 frames takes longer than reading them. */
function benchCost() {
  console.log("\ncost against frames, on one thread");
  const smallest = path.join(folder, "cost-0");
  const long = path.join(folder, "cost-log.csv");
  if (!existsSync(long)) writePass(long, "narrow", 1_000_000, 5);
  const sizes = [1e5, 1e6, 1e7, 1e8];
  const sessionWith = (frames, session) => {
    if (existsSync(session)) return session;
    const log = frames < 1e6 ? `${session}.csv` : long;
    if (frames < 1e6) writePass(log, "narrow", frames, 5);
    for (let pass = 1; pass <= Math.max(1, frames / 1e6); pass++) {
      mkdirSync(path.join(session, "game", "stock"), { recursive: true });
      linkSync(log, path.join(session, "game", "stock", `pass-${pass}.csv`));
    }
    return session;
  };
  // Passes under one name need no second config to be read.
  const args = (session) => ["passes", session, "--format", "json", "--no-cache", "--threads", "1"];
  const results = runByTurns(
    [
      { name: "500 frames", script: program, args: args(sessionWith(500, smallest)) },
      ...sizes.map((frames, i) => ({
        name: `${frames.toExponential(0)} frames`,
        script: program,
        args: args(sessionWith(frames, path.join(folder, `cost-${i + 1}`))),
      })),
    ],
    Math.min(runs, 3),
  );
  printResults(results);
  const seconds = results.map(({ rounds }) => median(rounds.map(({ cpuS }) => cpuS)));
  const points = sizes.map((frames, i) => [Math.log(frames), Math.log(seconds[i + 1] - seconds[0])]);
  goal("slope of ln(seconds of all cores, less the start) on ln(frames)", slopeOf(points), 1.05, 0.95);
  // Below that, what is compiled on the way costs more than the frames.
  goal("the same from 1e7 to 1e8 frames", slopeOf(points.slice(-2)), 1.05, 0.95);
}

function slopeOf(points) {
  const meanX = points.reduce((sum, [x]) => sum + x, 0) / points.length;
  const meanY = points.reduce((sum, [, y]) => sum + y, 0) / points.length;
  const over = points.reduce((sum, [x, y]) => sum + (x - meanX) * (y - meanY), 0);
  return over / points.reduce((sum, [x]) => sum + (x - meanX) ** 2, 0);
}

function benchStart() {
  console.log("\nstart");
  const nothing = path.join(temporary, "nothing.js");
  writeFileSync(nothing, "");
  const results = runByTurns(
    [
      { name: "runjury --version", script: program, args: ["--version"] },
      { name: "an empty script", script: nothing, args: [] },
    ],
    4 * runs,
  );
  printResults(results);
  goal("--version against an empty script, wall", ratioOf(results[0], results[1]), 2);
}

/** The wide session six times over, under other names. */
function benchLarge() {
  const wide = sessionOf("wide");
  const large = path.join(folder, "large");
  rmSync(large, { recursive: true, force: true });
  for (let copy = 1; copy <= 6; copy++) {
    for (let game = 1; game <= 16; game++) {
      for (const config of ["stock", "parked", "no-threads"]) {
        const cell = path.join(large, `game-${game}-${copy}`, config);
        mkdirSync(cell, { recursive: true });
        for (let pass = 1; pass <= 5; pass++) {
          linkSync(
            path.join(wide, `game-${game}`, config, `pass-${pass}.csv`),
            path.join(cell, `pass-${pass}.csv`),
          );
        }
      }
    }
  }
  const { logs, bytes } = sizeOf(large);
  console.log(`large: ${logs} logs, ${(bytes / 1e9).toFixed(1)} GB`);
  const results = runByTurns(
    [{ name: "runjury judge", script: program, args: ["judge", large, "--format", "json", "--no-cache"] }],
    1,
  );
  printResults(results);
  rmSync(large, { recursive: true, force: true });
  goal("4 GB session: peak memory, MB", results[0].rounds[0].peakMb, 200);
}
