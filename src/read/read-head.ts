import { fewRows } from "./column-shapes.ts";
import type { LineBatch } from "./split-lines.ts";

/** The first lines of a file: they tell how all of it is read. */
export interface Head {
  readonly lines: readonly string[];
  /** Lines that came with them and are of the body already. */
  readonly rest: LineBatch;
  readonly ended: boolean;
}

/** Characters that the head may hold before it is long enough with fewer lines. */
const headCharacters = 2_000_000;

/** The same lines however the bytes arrive, so that the same file is always read alike. */
export async function readHead(batches: AsyncIterator<LineBatch>, headLines: number): Promise<Head> {
  const lines: string[] = [];
  let characters = 0;
  while (true) {
    const next = await batches.next();
    if (next.done) return { lines, rest: { lines: [], open: false }, ended: true };
    const { lines: come, open } = next.value;
    let taken = 0;
    while (taken < come.length && lines.length < headLines && characters < headCharacters) {
      const line = come[taken++] ?? "";
      lines.push(line);
      characters += line.length;
    }
    // The last line of the file is left to the body, which asks whether it is whole.
    if (open) return { lines, rest: { lines: come.slice(taken), open }, ended: true };
    if (taken < come.length) return { lines, rest: { lines: come.slice(taken), open }, ended: false };
  }
}

/** Lines that tell how all are read. One that may be cut off is none of them where there are others enough. */
export function wholeLines({ lines, rest, ended }: Head): readonly string[] {
  const isLastOpen = ended && rest.open && rest.lines.length === 0;
  return isLastOpen && lines.length > fewRows ? lines.slice(0, -1) : lines;
}

/** Control characters that no text has; a few may stray into names, and a crash leaves zeros at the end of a file. */
export function isBinary(lines: readonly string[]): boolean {
  const text = lines.join("\n");
  let end = text.length;
  while (end > 0 && text.charCodeAt(end - 1) <= 32) end--;
  const sample = text.slice(0, Math.min(end, 20_000));
  // biome-ignore-start lint/suspicious/noControlCharactersInRegex: they are what is looked for
  const strange = sample.match(/[\u0000-\u0008\u000e-\u001a\u001c-\u001f\ufffd]/g)?.length ?? 0;
  // biome-ignore-end lint/suspicious/noControlCharactersInRegex: they are what is looked for
  return sample === "" || strange > 0.02 * sample.length;
}
