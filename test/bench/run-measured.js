// Runs a script in this process and leaves what it took in a file when it ends:
//   node run-measured.js <file for the figures> <script> [arguments]
import { writeFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [, , note, script] = process.argv;
process.on("exit", () => {
  const { maxRSS, userCPUTime, systemCPUTime } = process.resourceUsage();
  writeFileSync(note, JSON.stringify({ peakMb: maxRSS / 1024, cpuS: (userCPUTime + systemCPUTime) / 1e6 }));
});
process.argv.splice(1, 3, script);
await import(pathToFileURL(script).href);
