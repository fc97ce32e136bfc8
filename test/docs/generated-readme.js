// The parts of README.md that the program itself prints. Run by itself it brings the README up to date: npm run docs
import { spawnSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";

const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), "../..");
const readme = path.join(root, "README.md");
/** Each part: where it stands, and the command that prints it. */
const parts = [
  {
    place: /(```text\n)([\s\S]*?)(```)/,
    args: ["judge", "demo-data"],
    // The answer; what follows it is named below the screen.
    shape: (text) => `${cutBefore(text, "\n\nFrame rate against power")}\n`,
  },
  {
    place: /(<!-- codes: begin[^>]*-->\n)([\s\S]*?)(<!-- codes: end -->)/,
    args: ["explain", "--format", "markdown"],
    // The lists stand under a heading of the README's own.
    shape: (text) => `\n${text.trim().replace(/^## (.*)$/gm, "**$1**")}\n\n`,
  },
];

function cutBefore(text, words) {
  const end = text.indexOf(words);
  if (end < 0) throw new Error(`the screen has no ${words.trim()}`);
  return text.slice(0, end);
}

/** The README as it stands, and as it should be. */
export function compareReadme() {
  const now = readFileSync(readme, "utf8");
  let fresh = now;
  for (const { place, args, shape = (text) => text } of parts) {
    if (!place.test(fresh)) throw new Error(`README.md has no place for runjury ${args.join(" ")}`);
    const { stdout, stderr, status } = spawnSync(process.execPath, ["bin/runjury.js", ...args], {
      cwd: root,
      encoding: "utf8",
      env: { PATH: process.env.PATH, NO_COLOR: "1" },
    });
    if (status !== 0) throw new Error(stderr);
    fresh = fresh.replace(place, (_, begin, _old, end) => `${begin}${shape(stdout)}${end}`);
  }
  return { now, fresh };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { now, fresh } = compareReadme();
  if (now !== fresh) writeFileSync(readme, fresh);
  console.log(now === fresh ? "README.md is up to date" : "README.md was brought up to date");
}
