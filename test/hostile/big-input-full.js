// The same hostile inputs as test/hostile/big-input.test.ts at full size, each with the time and memory that it took:
//   npm run hostile
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { bigInputs } from "./big-input.js";

const root = fileURLToPath(new URL("../..", import.meta.url));
const mostSeconds = 120;
const mostMegabytes = 1000;
const sizes = {
  "one line": 2048,
  "one line from the start": 2048,
  "one quoted cell": 2048,
  "one line of commas": 2048,
  "a hole in the file": 1 << 23,
};
const packedMegabytes = 10_240;

const folder = mkdtempSync(path.join(tmpdir(), "hostile-"));
let failed = 0;
try {
  for (const [input, write] of Object.entries(bigInputs)) {
    const megabytes = sizes[input] ?? packedMegabytes;
    const file = path.join(folder, input.startsWith("packed") ? "pass-1.csv.gz" : "pass-1.csv");
    write(file, megabytes);
    const note = path.join(folder, "peak");
    const startedMs = performance.now();
    const { status, stderr } = spawnSync(
      process.execPath,
      [
        path.join(root, "test/bench/run-measured.js"),
        note,
        path.join(root, "bin/runjury.js"),
        "inspect",
        file,
      ],
      { encoding: "utf8", timeout: 1000 * mostSeconds, killSignal: "SIGKILL" },
    );
    const seconds = (performance.now() - startedMs) / 1000;
    const peak = status === null ? Number.POSITIVE_INFINITY : JSON.parse(readFileSync(note, "utf8")).peakMb;
    const isFine =
      status === 2 && peak <= mostMegabytes && /is left out/.test(stderr) && !/fault of runjury/.test(stderr);
    if (!isFine) failed++;
    console.log(
      `${isFine ? "ok  " : "FAIL"} ${input}, ${megabytes} MB: ${seconds.toFixed(1)} s, ${peak.toFixed(0)} MB, ` +
        `exit ${status}: ${stderr.split("\n")[0].replace(file, "")}`,
    );
    rmSync(file);
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
process.exitCode = failed === 0 ? 0 : 1;
