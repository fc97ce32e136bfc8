// Runs the program in this process and leaves its peak memory, in kilobytes, in a file when it ends:
//   node run-measured.js <file for the figure> <program> [arguments]
import { writeFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [, , note, program] = process.argv;
process.on("exit", () => writeFileSync(note, String(process.resourceUsage().maxRSS)));
process.argv.splice(1, 3, program);
await import(pathToFileURL(program).href);
