/** Codes named in one hint; the rest is found in the list that `runjury explain` gives. */
const mostNamed = 4;

/** Where to read on, for what was just printed; null where nothing was. */
export function explainHint(codes: readonly string[]): string | null {
  const different = [...new Set(codes)];
  if (different.length === 0) return null;
  return `more: runjury explain ${different.slice(0, mostNamed).join(" ")}`;
}
