// The packages that an installation brings, with their licences, from the lock file:
//   npm run licences          writes LICENCES.md
import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

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

export function licencesMarkdown() {
  const rows = [...new Set(installedPackages().map(({ name, license }) => `| ${name} | ${license} |`))];
  return `# Licences\n\nrunjury itself is under the MIT licence (LICENSE). An installation brings these packages; what is built into\nour own files has its licences beside it, in \`dist\`.\n\n| package | licence |\n| --- | --- |\n${rows.join("\n")}\n`;
}

if (process.argv[1] === fileURLToPath(import.meta.url))
  writeFileSync(new URL("LICENCES.md", root), licencesMarkdown());
