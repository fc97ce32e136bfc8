// The packages that an installation brings, with their licences, from the lock file.
import { readFileSync } from "node:fs";

const root = new URL("../../", import.meta.url);

/** Packages of an installation without development packages. */
export function installedPackages() {
  const { packages } = JSON.parse(readFileSync(new URL("package-lock.json", root), "utf8"));
  return Object.entries(packages)
    .filter(([where, entry]) => where !== "" && entry.dev !== true)
    .map(([where, { license, hasInstallScript }]) => ({
      where,
      name: where.replace(/^.*node_modules\//, ""),
      license,
      hasInstallScript: hasInstallScript === true,
    }))
    .sort((a, b) => (a.name < b.name ? -1 : 1));
}

/** The same as a page; the build puts it into `dist`. */
export function licencesMarkdown() {
  const rows = [...new Set(installedPackages().map(({ name, license }) => `| ${name} | ${license} |`))];
  return `# Licences\n\nrunjury itself is under the MIT licence (LICENSE). An installation brings these packages; what is built into\nour own files has its licences beside it.\n\n| package | licence |\n| --- | --- |\n${rows.join("\n")}\n`;
}
