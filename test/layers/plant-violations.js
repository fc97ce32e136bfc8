// A rule that sees nothing reports success. This plants one violation per layer rule in a copy of the sources and
// requires the linter to find each, and no more, so that a rule that stopped matching is noticed.
import { execFileSync, spawnSync } from "node:child_process";
import { cpSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";

const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), "../..");

/** Each line of code is one violation in the file named. */
const planted = [
  ["src/shared/planted.ts", 'import "../read/log.ts";'],
  ["src/shared/planted.ts", "export const now = Date.now();"],
  ["src/read/planted.ts", 'import "../measure/lows.ts";'],
  ["src/read/planted.ts", 'import "node:fs";'],
  ["src/read/planted.ts", 'import "../pipeline/gate.ts";'],
  ["src/measure/planted.ts", 'import "../judge/suite.ts";'],
  ["src/measure/planted.ts", 'import "node:fs";'],
  ["src/measure/planted.ts", 'export type { Style } from "../report/style.ts";'],
  ["src/judge/planted.ts", 'export const late = await import("../report/escape.ts");'],
  ["src/judge/planted.ts", 'import "../report/escape.ts";'],
  ["src/judge/planted.ts", 'import "../pipeline/judge-folder.ts";'],
  ["src/judge/planted.ts", "export const env = process.env;"],
  ["src/report/planted.ts", 'import "../cli/output.ts";'],
  ["src/report/planted.ts", 'console.log("printed");'],
  ["src/report/planted.ts", 'import "../paint/fonts.ts";'],
  ["src/report/planted.ts", 'import "../pipeline/pictures.ts";'],
  ["src/paint/planted.ts", 'import "../judge/suite.ts";'],
  ["src/pipeline/measure-logs.ts", 'import "./judge-folder.ts";'],
  ["src/pipeline/measure-worker.ts", 'import "../judge/suite.ts";'],
  ["src/pipeline/follow-folder.ts", 'import "../report/follow-lines.ts";'],
  ["src/cli/planted.ts", 'import "../judge/suite.ts";'],
];

const copy = mkdtempSync(path.join(tmpdir(), "layers-"));
let missed = 0;
try {
  for (const entry of ["src", "biome.json", "package.json", "tsconfig.json", ".gitignore"]) {
    cpSync(path.join(root, entry), path.join(copy, entry), { recursive: true });
  }
  symlinkSync(path.join(root, "node_modules"), path.join(copy, "node_modules"));
  execFileSync("git", ["init", "--quiet"], { cwd: copy });
  for (const [file, code] of planted) {
    writeFileSync(path.join(copy, file), `${code}\n`);
    const { status, report } = lint(file);
    rmSync(path.join(copy, file));
    if (status === 0 || !/noRestrictedImports|noRestrictedGlobals|noConsole/.test(report)) {
      missed++;
      console.error(`not seen: ${code} in ${file}\n${report}`);
    }
  }
  // A linter that objects to everything would see every violation too.
  writeFileSync(path.join(copy, "src/judge/harmless.ts"), 'import "./suite.ts";\n');
  const harmless = lint("src/judge/harmless.ts");
  if (harmless.status !== 0) {
    missed++;
    console.error(`objected to an import that is allowed\n${harmless.report}`);
  }
} finally {
  rmSync(copy, { recursive: true, force: true });
}
function lint(file) {
  const { status, stdout, stderr } = spawnSync("npx", ["biome", "lint", "--error-on-warnings", file], {
    cwd: copy,
    encoding: "utf8",
  });
  return { status, report: stdout + stderr };
}

console.log(`${planted.length - missed} of ${planted.length} planted violations were seen`);
process.exitCode = missed === 0 ? 0 : 1;
