import { readFileSync } from "node:fs";

/** A file of reference values, path from the project's root; the R scripts in test/reference made them all. */
export function readReference<Shape>(path: string): Shape {
  return JSON.parse(readText(path)) as Shape;
}

/** Text of a file, path from the project's root. */
export function readText(path: string): string {
  return readFileSync(new URL(`../../${path}`, import.meta.url), "utf8");
}
