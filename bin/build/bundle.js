/*
 * Puts packages into our own files, of what tsc has compiled:
 * - the charting library and its document into the one file that imports them, so that who installs the program
 *   installs none of their packages;
 * - the command line and all it imports into a few files without what nobody uses: starting it is mostly loading it.
 * Their licences travel beside the bundles; a package under another licence than the permissive ones below, or without a
 * licence text, stops the build.
 */
import { createHash } from "node:crypto";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";
import { rolldown } from "rolldown";
import { licencesMarkdown } from "./list-licences.js";

const inDist = (name) => fileURLToPath(new URL(`../../dist/${name}`, import.meta.url));
const permissive = new Set(["MIT", "ISC", "BSD-2-Clause", "BSD-3-Clause", "Apache-2.0", "0BSD"]);

/** Licences of the packages that went into a bundle. */
function licencesOf(chunks, leastPackages) {
  const folders = new Set(
    chunks
      .flatMap(({ moduleIds }) => moduleIds)
      .flatMap((id) => /^.*node_modules\/(?:@[^/]+\/)?[^/]+/.exec(id.replaceAll("\\", "/"))?.[0] ?? []),
  );
  if (folders.size < leastPackages) throw new Error(`the bundle holds only ${folders.size} packages`);
  return [...folders].sort().map((folder) => {
    const { name, version, license } = JSON.parse(readFileSync(`${folder}/package.json`, "utf8"));
    if (!permissive.has(license)) throw new Error(`${name} is under ${license}`);
    const text = readdirSync(folder).find((entry) => /^licen[cs]e/i.test(entry));
    const words =
      text === undefined ? `Licence: ${license}` : readFileSync(`${folder}/${text}`, "utf8").trim();
    return `${name} ${version}\n\n${words}\n`;
  });
}

const writeLicences = (file, licences) => writeFileSync(file, licences.join(`\n${"-".repeat(80)}\n\n`));

const plotFile = inDist("report/chart/plot-library.js");
const plot = await rolldown({ input: plotFile, platform: "node", logLevel: "warn" });
const { output } = await plot.generate({ format: "esm", minify: true });
const [chunk, ...others] = output;
if (others.length > 0) throw new Error(`the bundle fell into ${output.length} files`);
writeFileSync(plotFile, chunk.code);
writeLicences(plotFile.replace(/\.js$/, ".licences.txt"), licencesOf([chunk], 10));

// Packages with files of their own beside their code stay where they are.
const worker = inDist("pipeline/measure-worker.js");
const program = await rolldown({
  input: { main: inDist("cli/main.js"), "measure-worker": worker },
  platform: "node",
  // Its other build decodes its own code with a copy of Buffer for browsers: 20 ms at every start.
  resolve: { alias: { cephes: createRequire(import.meta.url).resolve("cephes") } },
  external: ["@thorvg/webcanvas", "opentype.js", "pngjs", /^@fontsource/],
  logLevel: "warn",
});

// Each file costs a look at the disk and a turn of the loader, so that what a judgement loads at one time lies in one.
const chunks = (await program.generate()).output.filter(({ type }) => type === "chunk");
const chunkOf = new Map(chunks.map((each) => [each.fileName, each]));
const loadedBy = ({ moduleIds, imports }) => [
  ...moduleIds,
  ...imports.flatMap((name) => (chunkOf.has(name) ? loadedBy(chunkOf.get(name)) : [])),
];
const entries = chunks.filter(({ facadeModuleId }) => facadeModuleId !== null);
const entryOf = (name) => entries.find(({ facadeModuleId }) => facadeModuleId === inDist(name));
const loadedWith = (name) => new Set(loadedBy(entryOf(name)));
const start = loadedWith("cli/main.js");
const later = new Set(entries.filter((each) => each !== entryOf("cli/main.js")).flatMap(loadedBy));
const measuring = loadedWith("pipeline/measure-worker.js");
const finding = loadedWith("pipeline/judge-folder.js");
const judging = loadedWith("judge/judge-session.js");
// Distributions are the heaviest part of judging: whoever does without them shall not load them.
const isHeavy = (ids) => ids.some((id) => /node_modules\/cephes/.test(id));
const light = new Set(
  entries
    .map(loadedBy)
    .filter((ids) => !isHeavy(ids))
    .flat(),
);
const written = await program.write({
  dir: inDist("bundle"),
  format: "esm",
  cleanDir: true,
  codeSplitting: {
    groups: [
      { name: "common", test: (id) => start.has(id) && later.has(id) },
      { name: "measuring", test: (id) => measuring.has(id) && id !== worker },
      { name: "finding", test: (id) => finding.has(id) },
      { name: "wording", test: (id) => judging.has(id) && light.has(id) },
      { name: "judging", test: (id) => judging.has(id) },
    ],
  },
});
writeLicences(
  inDist("bundle/licences.txt"),
  licencesOf(
    written.output.filter(({ type }) => type === "chunk"),
    8,
  ),
);

// By this the cache tells one build's figures from another's: taking it at every start would take 10 ms.
const digest = createHash("sha256");
for (const name of readdirSync(inDist("bundle"))
  .filter((file) => file.endsWith(".js"))
  .sort())
  digest.update(name).update(readFileSync(inDist(`bundle/${name}`)));
writeFileSync(inDist("bundle/code.sha256"), `${digest.digest("hex")}\n`);

writeFileSync(inDist("LICENCES.md"), licencesMarkdown());
