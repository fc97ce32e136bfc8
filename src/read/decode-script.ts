import type { Problem } from "../shared/problem.ts";

/** Far above any script; it bounds time and memory on other files. */
export const longestScript = 8_000_000;

/** A script's bytes as text. Only UTF-8 will do: a guess could change the names and figures in it. */
export function decodeScript(bytes: Uint8Array, file: string): { text: string | null; problems: Problem[] } {
  const fail = (problem: Problem) => ({ text: null, problems: [problem] });
  if (bytes.length > longestScript) {
    const size = { characters: bytes.length, most: longestScript };
    return fail({ code: "script-too-long", severity: "error", at: { file }, ...size });
  }
  let text: string;
  try {
    text = new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return fail({ code: "script-not-utf8", severity: "error", at: { file, line: firstBadLine(bytes) } });
  }
  if (text.trim() === "") return fail({ code: "script-empty", severity: "error", at: { file } });
  return { text, problems: [] };
}

/** The first line that is not UTF-8; a line end is never part of another character. */
export function firstBadLine(bytes: Uint8Array): number {
  const decoder = new TextDecoder("utf-8", { fatal: true });
  let line = 1;
  let start = 0;
  while (start < bytes.length) {
    const newline = bytes.indexOf(0x0a, start);
    const end = newline < 0 ? bytes.length : newline + 1;
    try {
      decoder.decode(bytes.subarray(start, end));
    } catch {
      break;
    }
    line++;
    start = end;
  }
  return line;
}
