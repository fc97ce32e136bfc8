import { separators } from "./pass-tails.ts";

/** Names that are put together of two, such as games and configs. */
export interface NameGrid {
  readonly outer: readonly string[];
  readonly between: string;
  readonly inner: readonly string[];
  /** Share of the pairs that occur. */
  readonly fill: number;
}

/** Names of more than this are a folder of something else; the search grows with their square. */
const mostNames = 400;

/**
 * Two lists of names of which all these are put together: where one part may hold the separator itself, as in
 * "tide-runner-quiet-35w", only the repetition tells where it ends. The fullest grid wins, then the longest
 * separator, then the longest outer names.
 * @param names different from each other
 * @returns null where no two lists give all of them, each in one way
 */
export function factorNames(names: readonly string[]): NameGrid | null {
  if (names.length < 2 || names.length > mostNames) return null;
  const all = new Set(names);
  const first = names.reduce((shortest, name) => (name.length < shortest.length ? name : shortest));
  let best: NameGrid | null = null;
  for (const between of separators) {
    // Whatever the grid is, this name is in it, split at one of its separators.
    for (let at = first.indexOf(between, 1); at > 0; at = first.indexOf(between, at + 1)) {
      const grid = gridFrom(first.slice(at + between.length), all, between);
      if (grid === null || grid.inner.length < 2) continue;
      if (best === null || isBetter(grid, best)) best = grid;
    }
  }
  return best;
}

function isBetter(grid: NameGrid, than: NameGrid): boolean {
  if (grid.fill !== than.fill) return grid.fill > than.fill;
  // In "Tide Runner - quiet" the longer separator is meant, though the shorter one is in it.
  if (grid.between !== than.between) return false;
  const letters = ({ outer }: NameGrid): number => outer.join("").length / outer.length;
  return letters(grid) > letters(than);
}

/** Grows from one inner name: the outer ones it stands behind, what else stands behind those, and so on. */
function gridFrom(seed: string, all: ReadonlySet<string>, between: string): NameGrid | null {
  const inner = new Set([seed]);
  const outer = new Set<string>();
  for (let size = 0; size < inner.size + outer.size; ) {
    size = inner.size + outer.size;
    for (const name of all) {
      for (const end of inner) {
        const tail = between + end;
        if (name.length > tail.length && name.endsWith(tail)) outer.add(name.slice(0, -tail.length));
      }
      for (const start of outer) {
        const head = start + between;
        if (name.length > head.length && name.startsWith(head)) inner.add(name.slice(head.length));
      }
    }
    // "tide" before "runner-stock" beside "tide-runner" before "stock" would take every name in twice.
    if (inner.size + outer.size > 2 * all.size) return null;
  }
  let pairs = 0;
  for (const name of all) {
    const ways = [...outer].filter(
      (start) => name.startsWith(start + between) && inner.has(name.slice(start.length + between.length)),
    );
    if (ways.length !== 1) return null;
    pairs++;
  }
  return { outer: [...outer], between, inner: [...inner], fill: pairs / (outer.size * inner.size) };
}
