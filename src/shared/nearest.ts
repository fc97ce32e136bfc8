import leven from "leven";

/** Longer names are compared as equal or not at all: the distance costs the product of both lengths. */
const longestCompared = 200;

function withoutSpelling(name: string): string {
  return name.toLowerCase().replace(/[\s_-]+/g, "");
}

/** Two at least in all but the shortest names, since letters swapped count as two. */
function mostChanges(longer: number): number {
  return longer < 4 ? 1 : Math.max(2, Math.floor(longer / 3));
}

/**
 * The name that was most likely meant: the same but for case, spaces, hyphens and underscores, else the one with
 * the fewest changed letters (Levenshtein 1966), at most about a third of the longer name's and never all of them; else the only one that begins so.
 * @param names of equally near ones, one that only adds or lacks an ending is taken, else the first
 * @returns null where none is near
 */
export function nearestName(wanted: string, names: readonly string[]): string | null {
  const bare = withoutSpelling(wanted);
  const same = names.find((name) => withoutSpelling(name) === bare);
  if (same !== undefined) return same;

  let nearest: string | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const name of names) {
    const longer = Math.max(wanted.length, name.length);
    if (longer > longestCompared) continue;
    const most = mostChanges(longer);
    // Past `maxDistance` leven answers `maxDistance` itself, so the bound lies one above what is accepted.
    const changes = leven(wanted, name, { maxDistance: most + 1 });
    const ending = name.startsWith(wanted) || wanted.startsWith(name);
    const distance = ending ? changes - 0.5 : changes;
    if (changes <= most && changes < longer && distance < least) {
      nearest = name;
      least = distance;
    }
  }
  return nearest ?? onlyOneThatBegins(bare, names);
}

/** Letters from which on a beginning can be told from a slip. */
const leastBeginning = 3;

/** "salt" for "saltworks". */
function onlyOneThatBegins(bare: string, names: readonly string[]): string | null {
  const [only, ...others] = names.filter((name) => withoutSpelling(name).startsWith(bare));
  return bare.length < leastBeginning || others.length > 0 ? null : (only ?? null);
}
