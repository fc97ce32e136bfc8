import { escapeJson } from "./escape.ts";

/** Any result as JSON text, indented, safe to print. */
export function toJson(result: object): string {
  return `${escapeJson(JSON.stringify(result, null, 2))}\n`;
}
