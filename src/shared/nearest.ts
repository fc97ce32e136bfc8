import leven from "leven";

/** Longer names are compared as equal or not at all: the distance costs the product of both lengths. */
const longestCompared = 200;

function withoutSpelling(name: string): string {
  return name.toLowerCase().replace(/[\s_-]+/g, "");
}

/**
 * The name that was most likely meant: the same but for case, spaces, hyphens and underscores, else the one with
 * the fewest changed letters (Levenshtein 1966), at most a third of the longer name's.
 * @param names in order of preference; of equally near ones the first is taken
 * @returns null where none is near
 */
export function nearestName(wanted: string, names: readonly string[]): string | null {
  const bare = withoutSpelling(wanted);
  const same = names.find((name) => withoutSpelling(name) === bare);
  if (same !== undefined) return same;

  let nearest: string | null = null;
  let fewest = Number.POSITIVE_INFINITY;
  for (const name of names) {
    const longer = Math.max(wanted.length, name.length);
    if (longer > longestCompared) continue;
    const most = Math.max(1, Math.floor(longer / 3));
    // Past `maxDistance` leven answers `maxDistance` itself, so the bound lies one above what is accepted.
    const changes = leven(wanted, name, { maxDistance: most + 1 });
    if (changes <= most && changes < longer && changes < fewest) {
      nearest = name;
      fewest = changes;
    }
  }
  return nearest;
}
