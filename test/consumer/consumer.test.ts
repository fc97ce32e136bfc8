import { execFileSync, spawnSync } from "node:child_process";
import { copyFileSync, mkdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import path from "node:path";
import { expect, test } from "vitest";
import { makeFolder } from "../support/run-cli.ts";

/** A project of its own that has the built package among its packages. */
function makeProject(file: string, type: "module" | "commonjs" = "module"): string {
  const project = makeFolder();
  mkdirSync(path.join(project, "node_modules"));
  symlinkSync(path.resolve("."), path.join(project, "node_modules/runjury"));
  symlinkSync(path.resolve("node_modules/@types"), path.join(project, "node_modules/@types"));
  writeFileSync(path.join(project, "package.json"), JSON.stringify({ type }));
  copyFileSync(path.join("test/consumer", file), path.join(project, file));
  return project;
}

function compile(project: string, file: string, options: object): string {
  const compilerOptions = {
    ...{
      strict: true,
      noUncheckedIndexedAccess: true,
      exactOptionalPropertyTypes: true,
      skipLibCheck: false,
    },
    ...{ target: "es2023", lib: ["es2023"], types: ["node"], noEmit: true },
    ...options,
  };
  writeFileSync(path.join(project, "tsconfig.json"), JSON.stringify({ compilerOptions, files: [file] }));
  const { stdout, status } = spawnSync(path.resolve("node_modules/.bin/tsc"), ["-p", project], {
    encoding: "utf8",
  });
  return status === 0 ? "" : stdout;
}

test.for([
  { module: "nodenext", moduleResolution: "nodenext" },
  { module: "esnext", moduleResolution: "bundler" },
])("a strict TypeScript project compiles against the package, module $module", (options) => {
  expect(compile(makeProject("strict.ts"), "strict.ts", options)).toBe("");
});

test("the README's program compiles in a strict project", () => {
  const [, program] = /## As a library\n\n```ts\n(.*?)```/s.exec(readFileSync("README.md", "utf8")) ?? [];
  const project = makeProject("strict.ts");
  writeFileSync(path.join(project, "readme.ts"), program ?? "not found");
  expect(compile(project, "readme.ts", { module: "nodenext", moduleResolution: "nodenext" })).toBe("");
});

test("plain JavaScript is helped by the types, and runs", () => {
  const project = makeProject("plain.js");
  const loose = {
    allowJs: true,
    checkJs: true,
    strict: false,
    module: "nodenext",
    moduleResolution: "nodenext",
  };
  expect(compile(project, "plain.js", { ...loose, exactOptionalPropertyTypes: false })).toBe("");
  const said = execFileSync(process.execPath, ["plain.js", path.resolve("demo-data")], {
    cwd: project,
    encoding: "utf8",
  });
  const { games, verdicts, rows, refusedAs } = JSON.parse(said);
  expect(games).toBe(6);
  expect(rows).toBe(verdicts + 1);
  expect(refusedAs).toBe("folder-missing");
});

test("CommonJS can import() it", () => {
  const project = makeProject("plain.js", "commonjs");
  const script = 'import("runjury").then((m) => console.log(typeof m.judgeFolder))';
  expect(execFileSync(process.execPath, ["-e", script], { cwd: project, encoding: "utf8" })).toBe(
    "function\n",
  );
});
