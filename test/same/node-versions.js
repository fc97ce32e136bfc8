// Runs the built program on several versions of Node and compares every byte that it says:
//   npm run node-versions [versions, 20 22 24]
// The versions come as npm packages, installed into a temporary folder.
import { execFileSync, spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../..", import.meta.url));
const versions = process.argv.length > 2 ? process.argv.slice(2) : ["20", "22", "24"];
const base = mkdtempSync(path.join(tmpdir(), "nodes-"));

function installNode(version) {
  const folder = path.join(base, version);
  mkdirSync(folder);
  writeFileSync(path.join(folder, "package.json"), "{}");
  execFileSync("npm", ["install", "--no-audit", "--no-fund", "--silent", `node@${version}`], { cwd: folder });
  return path.join(folder, "node_modules/node/bin/node");
}

const out = path.join(base, "out");
const jobs = [
  ...["json", "table", "csv", "markdown"].map((format) => [
    "judge",
    "demo-data",
    "--no-cache",
    "--format",
    format,
  ]),
  ["judge", "demo-data", "--no-cache", "--details"],
  ["passes", "demo-data", "--no-cache", "--format", "csv"],
  ["findings", "demo-data", "--no-cache", "--format", "json"],
  ["check", "fixtures/scripts/demo-script-wrong.md", "demo-data", "--no-cache"],
  ["report", "demo-data", "--no-cache", "--output", out],
  ["chart", "demo-data", "--no-cache", "--format", "svg", "--output", out],
  ["chart", "demo-data", "--no-cache", "--format", "png", "--output", out],
  ["schema", "session"],
  ["--help"],
  ...readdirSync(path.join(root, "fixtures/logs"))
    .sort()
    .map((name) => {
      const folder = `fixtures/logs/${name}`;
      const log = readdirSync(path.join(root, folder)).find((file) => /^pass-1\.csv(\.gz)?$/.test(file));
      return ["inspect", `${folder}/${log}`];
    }),
];

/** Exit code and digests of what one job says and writes. */
function digest(node, args) {
  rmSync(out, { force: true });
  const { status, stdout, stderr } = spawnSync(node, [path.join(root, "bin/runjury.js"), ...args], {
    cwd: root,
    encoding: "utf8",
    maxBuffer: 1e8,
    env: { PATH: process.env.PATH, NO_COLOR: "1" },
  });
  const written = args.includes(out) ? readFileSync(out) : "";
  return `${status} ${createHash("sha256").update(stdout).update("\0").update(stderr).update("\0").update(written).digest("hex")}`;
}

let failed = 0;
try {
  const nodes = versions.map((version) => {
    const node = installNode(version);
    return { node, name: execFileSync(node, ["--version"], { encoding: "utf8" }).trim() };
  });
  for (const args of jobs) {
    const said = nodes.map(({ node }) => digest(node, args));
    if (new Set(said).size === 1) continue;
    failed++;
    console.log(`FAIL runjury ${args.join(" ")}`);
    for (const [i, { name }] of nodes.entries()) console.log(`     ${name}: ${said[i]}`);
  }
  console.log(`${jobs.length} commands on ${nodes.map(({ name }) => name).join(", ")}: ${failed} differ`);
} finally {
  rmSync(base, { recursive: true, force: true });
}
process.exitCode = failed === 0 ? 0 : 1;
