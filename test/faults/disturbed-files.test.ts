import { execFile } from "node:child_process";
import path from "node:path";
import { promisify } from "node:util";
import { describe, expect, test } from "vitest";
import { digestFolder, makeFolder, makeLog, put } from "../support/run-cli.ts";

const script = path.resolve("test/faults/disturbed-files.js");

interface Run {
  /** Which call to the file system was disturbed; the last run ended before. */
  readonly at: number;
  /** Its name; none where nothing was disturbed. */
  readonly call?: string;
  readonly status: number;
  readonly stdout: string;
  readonly stderr: string;
  /** Drafts that it left behind. */
  readonly leftovers: readonly string[];
}

/** Two games, two configs, one pass each; one has a sensor log. */
function putSmallSession(folder: string): void {
  let seed = 1;
  for (const game of ["kestrel-cup", "saltworks"])
    for (const config of ["parked", "stock"])
      put(folder, `${game}/${config}/pass-1.csv`, makeLog(seed++, 120));
  put(folder, "kestrel-cup/stock/pass-1.sensors.csv", "elapsed_s,cpu_power_w\n0,40\n1,41\n2,42\n");
  put(folder, "session.yaml", "baseline: stock\n");
  const claim = "claim: { game: saltworks, config: parked, metric: average FPS, is: same }";
  put(folder, "script.md", `Nothing changed. <!-- ${claim} -->\n`);
}

/** As digests of files that could not be read are told in a judgement. */
const noDigest = /"sha256": ""/;

describe.for(["gone", "EACCES", "EIO"])("a file system that fails in the middle: %s", (disturbance) => {
  test.for([
    "judge . --no-cache --format json",
    "judge . --cache-dir ./cache --format json",
    "check ./script.md . --no-cache",
    "inspect . --format json",
    "inspect ./kestrel-cup/stock/pass-1.csv --format json",
    "captions ./kestrel-cup/stock/pass-1.csv --output ./captions",
    "init . --force",
    "chart . --no-cache --output ./chart.svg",
  ])("%s: at whichever call, it ends with a message or with all that is there", async (line) => {
    const folder = path.join(makeFolder(), "session");
    putSmallSession(folder);
    const games = ["kestrel-cup", "saltworks"].map((game) => path.join(folder, game));
    const before = games.map(digestFolder);
    const args = line.split(" ").map((word) => (word.startsWith(".") ? path.join(folder, word) : word));
    const { stdout } = await promisify(execFile)(process.execPath, [script, folder, disturbance, ...args], {
      maxBuffer: 1e9,
      env: { PATH: process.env.PATH, NO_COLOR: "1", XDG_CACHE_HOME: "/dev/null/none" },
    });
    expect(games.map(digestFolder)).toEqual(before);
    const runs = JSON.parse(stdout) as Run[];
    const undisturbed = runs.at(-1) as Run;
    expect(runs.length).toBeGreaterThan(15);
    expect(undisturbed.status).toBe(line.startsWith("check") ? 1 : 0);
    expect(undisturbed.stderr).not.toMatch(/: error: /);
    for (const { at, call, status, stdout, stderr, leftovers } of runs) {
      const where = `call ${at}, ${call}`;
      // A draft goes, unless it went with its folder, or removing it is what failed.
      if (disturbance !== "gone" && call !== "rm") expect(leftovers, where).toEqual([]);
      expect(stderr, where).not.toMatch(/fault of runjury|^\s+at /m);
      expect([0, 1, 2], where).toContain(status);
      const isTold = stderr !== undisturbed.stderr || noDigest.test(stdout);
      if (status !== undisturbed.status || stdout !== undisturbed.stdout)
        expect(isTold, `${where} is told`).toBe(true);
    }
  });
});
