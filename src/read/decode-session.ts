import type { Problem } from "../shared/problem.ts";
import { firstBadLine } from "./decode-script.ts";

/**
 * A session file's bytes as text: UTF-8, or UTF-16 where a byte order mark says so, as YAML 1.2.2 has it (section 5.2).
 * Anything else would be a guess at the names in it.
 */
export function decodeSession(
  bytes: Uint8Array,
  file: string,
): { readonly text: string | null; readonly problems: readonly Problem[] } {
  const [first, second] = bytes;
  const marked =
    first === 0xff && second === 0xfe ? "utf-16le" : first === 0xfe && second === 0xff ? "utf-16be" : null;
  try {
    // Marks are left to whoever reads the text.
    const decoder = new TextDecoder(marked ?? "utf-8", { fatal: true, ignoreBOM: true });
    return { text: decoder.decode(bytes), problems: [] };
  } catch {
    const at = { file, line: marked === null ? firstBadLine(bytes) : 1 };
    return { text: null, problems: [{ code: "session-not-utf8", severity: "error", at }] };
  }
}
