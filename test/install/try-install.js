// Packs the program, installs the package into an empty prefix without development packages, and uses it there with
// the network off; then looks at it with publint, attw and npm audit:
//   npm run try-install [-- --release]
// The installation itself asks the registry, as every user's does; everything after it does not. Before a release, a
// registry that does not say whether packages have known faults is a failure.
import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";

const isRelease = process.argv.includes("--release");
const root = fileURLToPath(new URL("../..", import.meta.url));
const base = mkdtempSync(path.join(tmpdir(), "installed-"));
const prefix = path.join(base, "prefix");
let failed = 0;

function tell(what, isFine, more = "") {
  if (!isFine) failed++;
  console.log(
    `${isFine ? "ok  " : "FAIL"} ${what}${more === "" ? "" : `: ${more.trim().split("\n").slice(-12).join("\n     ")}`}`,
  );
}

function run(command, args, options = {}) {
  const { status, stdout, stderr } = spawnSync(command, args, {
    encoding: "utf8",
    cwd: prefix,
    timeout: 300_000,
    ...options,
  });
  return { isFine: status === 0, said: `${stdout ?? ""}${stderr ?? ""}` };
}

function measure(folder) {
  let bytes = 0;
  for (const entry of readdirSync(folder, { recursive: true })) {
    const kind = statSync(path.join(folder, entry));
    if (kind.isFile()) bytes += kind.size;
  }
  return bytes;
}

/** A network of its own with nothing in it, where the system lets us have one. */
function offline() {
  return spawnSync("unshare", ["--net", "true"]).status === 0 ? ["unshare", "--net"] : [];
}

try {
  mkdirSync(prefix);
  writeFileSync(path.join(prefix, "package.json"), JSON.stringify({ private: true, type: "module" }));
  const [{ filename }] = JSON.parse(
    execFileSync("npm", ["pack", "--json", "--pack-destination", base], { cwd: root, encoding: "utf8" }),
  );
  const tarball = path.join(base, filename);
  const installed = run("npm", ["install", "--omit=dev", "--no-audit", "--no-fund", tarball]);
  tell("npm install of the packed program", installed.isFine, installed.said);
  const again = run("npm", ["ci", "--omit=dev", "--offline", "--no-audit", "--no-fund"]);
  tell("npm ci --offline from what was just fetched", again.isFine, again.said);

  const tree = JSON.parse(run("npm", ["query", "*"]).said);
  const count = tree.length - 1;
  const megabytes = measure(path.join(prefix, "node_modules")) / 1e6;
  tell(`${count} packages, ${megabytes.toFixed(1)} MB`, count < 60 && megabytes < 40);
  const scripts = tree.filter(({ scripts: own = {} }) => own.install ?? own.preinstall ?? own.postinstall);
  tell("no install scripts", scripts.length === 0, scripts.map(({ name }) => name).join(", "));

  const off = offline();
  const program = path.join(prefix, "node_modules/.bin/runjury");
  const captures = path.join(root, "demo-data");
  const out = path.join(base, "out");
  mkdirSync(out);
  for (const args of [
    ["--version"],
    ["judge", captures],
    ["judge", captures, "--format", "json"],
    ["report", captures, "--output", path.join(out, "page.html")],
    ["chart", captures, "--output", path.join(out, "picture.svg")],
    ["chart", captures, "--output", path.join(out, "picture.png")],
    ["schema", "session"],
  ]) {
    const [command, ...rest] = [...off, process.execPath, program, ...args];
    const { isFine, said } = run(command, rest);
    tell(
      `${off.length > 0 ? "without a network" : "(network left on)"}: runjury ${args.join(" ").replaceAll(captures, "demo-data")}`,
      isFine,
      isFine ? "" : said,
    );
  }
  for (const name of ["page.html", "picture.svg", "picture.png"])
    tell(`wrote ${name}`, existsSync(path.join(out, name)));

  const audit = run("npm", ["audit", "--omit=dev"]);
  // A registry that does not answer says nothing about the packages.
  if (!isRelease && /audit endpoint returned an error/.test(audit.said))
    console.log("--   npm audit: the registry did not answer");
  else tell("npm audit", audit.isFine, audit.said);
  const publint = run("npx", ["--yes", "publint@0.3", "--strict", tarball]);
  tell("publint", publint.isFine, publint.said);
  // The program is a module: CommonJS has to import() it, which attw calls a warning of its own.
  const attw = run("npx", [
    "--yes",
    "@arethetypeswrong/cli@0.18",
    tarball,
    "--profile",
    "esm-only",
    "--format",
    "ascii",
    "--no-emoji",
  ]);
  tell("attw", attw.isFine, attw.said);
} finally {
  rmSync(base, { recursive: true, force: true });
}
process.exitCode = failed === 0 ? 0 : 1;
