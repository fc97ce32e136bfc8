// Kills the program at random moments, a third of the times while it writes its result, and looks at what is left:
//   npm run faults [times, 1000] [seed, 1]
// Captures must be untouched, the output file must be the whole old one or the whole new one, nothing else may be
// visible beside it, and the next run must give the same bytes as one that was never disturbed.
import { spawn, spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  watch,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";

const times = Number(process.argv[2] ?? 1000);
let state = Number(process.argv[3] ?? 1) >>> 0;
const root = fileURLToPath(new URL("../..", import.meta.url));
const program = path.join(root, "bin/runjury.js");
/** What test/faults/slow-disk.js makes a result take. */
const writingMs = 100;
const slowDisk = new URL("slow-disk.js", import.meta.url).href;
const signals = ["SIGINT", "SIGKILL", "SIGTERM"];

/** Mulberry32 (T. Ettinger, public domain). */
function random() {
  state = (state + 0x6d2b79f5) >>> 0;
  let t = Math.imul(state ^ (state >>> 15), 1 | state);
  t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
  return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
}

function digest(folder) {
  const hash = createHash("sha256");
  for (const entry of readdirSync(folder, { recursive: true }).sort()) {
    const file = path.join(folder, entry);
    const kind = statSync(file);
    hash.update(`${entry}\0${kind.mode}\0${kind.mtimeMs}\0`);
    if (kind.isFile()) hash.update(readFileSync(file));
  }
  return hash.digest("hex");
}

const base = mkdtempSync(path.join(tmpdir(), "killed-"));
const captures = path.join(base, "captures");
const out = path.join(base, "out");
const env = { PATH: process.env.PATH, NO_COLOR: "1", XDG_CACHE_HOME: path.join(base, "cache") };
const old = "the file that was there before\n";
const faults = [];
const seen = { finished: 0, killed: 0, old: 0, new: 0, "drafts left by SIGKILL": 0 };

/**
 * Runs the program and kills it after a while, counted from its start or from the first it does in the folder for its
 * result, on a disk that is slow then: writing takes so little of a run that other kills hardly ever meet it.
 */
function runAndKill(args, signal, { afterMs, isCountedFromWriting }) {
  return new Promise((resolve) => {
    const disk = isCountedFromWriting ? ["--import", slowDisk] : [];
    const child = spawn(process.execPath, [...disk, program, ...args], {
      env,
      stdio: ["ignore", "ignore", "pipe"],
    });
    let stderr = "";
    child.stderr.on("data", (text) => {
      stderr += text;
    });
    let timer;
    const start = () => {
      timer ??= setTimeout(() => child.kill(signal), afterMs);
    };
    const watcher = watch(out, start);
    if (!isCountedFromWriting) start();
    child.on("close", (code, ended) => {
      clearTimeout(timer);
      watcher.close();
      resolve({ code, ended, stderr });
    });
  });
}

try {
  for (const game of ["tide-runner", "saltworks"])
    cpSync(path.join(root, "demo-data", game), path.join(captures, game), { recursive: true });
  cpSync(path.join(root, "demo-data/session.yaml"), path.join(captures, "session.yaml"));
  mkdirSync(out);
  const before = digest(captures);
  const log = path.join(captures, "saltworks/full-65w/pass-1.csv.gz");
  const jobs = [
    { name: "judgement.json", args: ["judge", captures], fresh: ["--no-cache"] },
    { name: "report.html", args: ["report", captures], fresh: ["--no-cache"] },
    { name: "verdicts.png", args: ["chart", captures], fresh: ["--no-cache"] },
    { name: "track.vtt", args: ["captions", log], fresh: [] },
  ].map(({ name, args: asked, fresh }) => {
    const file = path.join(out, name);
    const args = [...asked, ...(name.endsWith(".json") ? ["--format", "json"] : []), "--output", file];
    const startedMs = performance.now();
    const first = spawnSync(process.execPath, [program, ...args, ...fresh], { env, encoding: "utf8" });
    if (first.status !== 0) throw new Error(first.stderr);
    const usualMs = performance.now() - startedMs;
    const whole = readFileSync(file);
    rmSync(file);
    return { name, file, args, fresh, usualMs, whole };
  });

  for (let i = 0; i < times; i++) {
    const { name: wanted, file, args, fresh, usualMs, whole } = jobs[Math.floor(random() * jobs.length)];
    writeFileSync(file, old);
    const signal = signals[i % signals.length];
    const isCountedFromWriting = random() < 1 / 3;
    // Half of the runs from the kept summaries, the others as if for the first time.
    const { code, ended, stderr } = await runAndKill(
      [...args, "--quiet", ...(i % 2 === 0 ? [] : fresh)],
      signal,
      {
        isCountedFromWriting,
        afterMs: random() * (isCountedFromWriting ? writingMs : 1.1 * usualMs),
      },
    );
    const told = (what) => faults.push(`run ${i}, ${wanted}, ${signal}: ${what}`);
    if (ended === null) seen.finished++;
    else seen.killed++;
    if (ended !== null ? ended !== signal : code !== 0) told(`ended with ${ended ?? code}\n${stderr}`);
    if (stderr !== "") told(`said ${stderr}`);
    const content = readFileSync(file);
    if (content.equals(whole)) seen.new++;
    else if (content.toString() === old && ended !== null) seen.old++;
    else told(`left a file that is neither the old nor the new one (${content.length} bytes)`);
    const names = readdirSync(out);
    if (names.some((name) => name !== wanted && !name.startsWith("."))) told(`left ${names}`);
    const drafts = names.filter((name) => name.startsWith("."));
    if (drafts.length > 0 && signal !== "SIGKILL") told(`left a draft: ${drafts}`);
    seen["drafts left by SIGKILL"] += drafts.length;
    for (const name of names) rmSync(path.join(out, name));
    if (digest(captures) !== before) told("changed the captures");
  }
  for (const { name, file, args, whole } of jobs) {
    const after = spawnSync(process.execPath, [program, ...args], { env, encoding: "utf8" });
    if (after.status !== 0 || !readFileSync(file).equals(whole)) faults.push(`${name} afterwards differs`);
  }
} finally {
  rmSync(base, { recursive: true, force: true });
}
console.log(
  `${times} runs: ${Object.entries(seen)
    .map(([what, count]) => `${count} ${what}`)
    .join(", ")}; ${faults.length} faults`,
);
for (const fault of faults.slice(0, 20)) console.log(fault);
process.exitCode = faults.length === 0 ? 0 : 1;
