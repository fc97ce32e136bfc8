import { execFileSync } from "node:child_process";
import { readdirSync, readFileSync, statSync } from "node:fs";
import path from "node:path";
import { describe, expect, test } from "vitest";
import { installedPackages } from "../../bin/build/list-licences.js";

const packages = installedPackages();
const permissive = ["MIT", "ISC", "BSD-2-Clause", "BSD-3-Clause", "Apache-2.0", "0BSD", "OFL-1.1"];

function bytesBelow(folder: string): number {
  return readdirSync(folder, { withFileTypes: true })
    .map((entry) => path.join(folder, entry.name))
    .reduce((sum, file) => sum + (statSync(file).isDirectory() ? bytesBelow(file) : statSync(file).size), 0);
}

describe("what an installation brings", () => {
  test("fewer than 60 packages and less than 40 MB, the program itself included", () => {
    expect(packages.length).toBeGreaterThan(10);
    expect(packages.length).toBeLessThan(60);
    const [packed] = JSON.parse(execFileSync("npm", ["pack", "--dry-run", "--json"], { encoding: "utf8" }));
    const own = packages
      .filter(
        ({ where }) =>
          !packages.some((other) => other !== packages[0] && where.startsWith(`${other.where}/`)),
      )
      .reduce((sum, { where }) => sum + bytesBelow(where), 0);
    expect((own + packed.unpackedSize) / 1e6).toBeLessThan(40);
  });

  test("nothing runs while it is installed", () => {
    expect(packages.filter(({ hasInstallScript }) => hasInstallScript)).toEqual([]);
    const { scripts } = JSON.parse(readFileSync("package.json", "utf8"));
    for (const hook of ["preinstall", "install", "postinstall", "prepare"])
      expect(scripts).not.toHaveProperty(hook);
  });

  test("every licence is permissive, says so in the package itself, and is listed", () => {
    const listed = readFileSync("dist/LICENCES.md", "utf8");
    for (const { where, name, license } of packages) {
      expect(permissive, name).toContain(license);
      expect(JSON.parse(readFileSync(path.join(where, "package.json"), "utf8")).license, name).toBe(license);
      expect(listed).toContain(`| ${name} | ${license} |`);
    }
  });

  test("whatever the package offers is among its files, and loads", async () => {
    const { exports } = JSON.parse(readFileSync("package.json", "utf8")) as {
      exports: Record<string, string | Record<string, string>>;
    };
    const [{ files }] = JSON.parse(
      execFileSync("npm", ["pack", "--dry-run", "--json"], { encoding: "utf8" }),
    );
    const names: string[] = files.map((file: { path: string }) => `./${file.path}`);
    for (const target of Object.values(exports)) {
      for (const file of typeof target === "string" ? [target] : Object.values(target))
        expect(names).toContain(file);
      if (typeof target !== "string")
        expect(Object.keys(await import(path.resolve(target.default ?? "")))).not.toEqual([]);
    }
  });

  test("the package holds the program, its types and its licences, and no tests, captures or sources", () => {
    const [{ files }] = JSON.parse(
      execFileSync("npm", ["pack", "--dry-run", "--json"], { encoding: "utf8" }),
    );
    const names: string[] = files.map((file: { path: string }) => file.path);
    for (const name of [
      "bin/runjury.js",
      "dist/index.js",
      "dist/index.d.ts",
      "LICENSE",
      "dist/LICENCES.md",
      "README.md",
    ])
      expect(names).toContain(name);
    expect(names.filter((name) => /^(?:src|test|fixtures|demo-data)\//.test(name))).toEqual([]);
  });
});
