/*
 * Puts the charting library and its document into the one file that imports them, so that who installs the program
 * installs none of their packages. Their licences travel beside the bundle; a package under another licence than the
 * permissive ones below, or without a licence text, stops the build.
 */
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { rolldown } from "rolldown";

const file = fileURLToPath(new URL("../dist/report/chart/plot-library.js", import.meta.url));
const permissive = new Set(["MIT", "ISC", "BSD-2-Clause", "BSD-3-Clause", "Apache-2.0", "0BSD"]);

const bundle = await rolldown({ input: file, platform: "node", logLevel: "warn" });
const { output } = await bundle.generate({ format: "esm", minify: true });
const [chunk, ...others] = output;
if (others.length > 0) throw new Error(`the bundle fell into ${output.length} files`);

const folders = new Set(
  chunk.moduleIds.flatMap(
    (id) => /^.*node_modules\/(?:@[^/]+\/)?[^/]+/.exec(id.replaceAll("\\", "/"))?.[0] ?? [],
  ),
);
if (folders.size < 10) throw new Error(`the bundle holds ${folders.size} packages: the library is missing`);
const licences = [...folders].sort().map((folder) => {
  const { name, version, license } = JSON.parse(readFileSync(`${folder}/package.json`, "utf8"));
  if (!permissive.has(license)) throw new Error(`${name} is under ${license}`);
  const text = readdirSync(folder).find((entry) => /^licen[cs]e/i.test(entry));
  const words = text === undefined ? `Licence: ${license}` : readFileSync(`${folder}/${text}`, "utf8").trim();
  return `${name} ${version}\n\n${words}\n`;
});

writeFileSync(file, chunk.code);
writeFileSync(file.replace(/\.js$/, ".licences.txt"), licences.join(`\n${"-".repeat(80)}\n\n`));
