import { accessSync, constants } from "node:fs";
import path from "node:path";

const names = ["chromium", "chromium-browser"];
const places = [
  "/usr/bin",
  "/usr/local/bin",
  "/snap/bin",
  "/Applications/Chromium.app/Contents/MacOS",
  "/Applications/Google Chrome.app/Contents/MacOS",
];

/** Path of a Chromium or a relative of it on this machine; null where there is none. */
export function findBrowser(): string | null {
  const folders = [...(process.env.PATH ?? "").split(path.delimiter).filter(Boolean), ...places];
  const files = folders.flatMap((folder) =>
    [...names, "Chromium", "Google Chrome"].map((name) => path.join(folder, name)),
  );
  return files.find(isProgram) ?? null;
}

/** Where the checks run for everyone, a missing browser is a failure and not a reason to skip. */
export const needsBrowser = process.env.RUNJURY_NEEDS_BROWSER === "1";

function isProgram(file: string): boolean {
  try {
    accessSync(file, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}
