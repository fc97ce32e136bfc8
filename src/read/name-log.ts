import { type KnownNames, type Layout, type PassPlace, parseLayout, placeLog } from "./layout.ts";

/** Longer names meet the limits of some file systems. */
const longestName = 100;

// What no file system of the usual three forbids (backslash, colon and the like are forbidden on one of them only).
const forbidden =
  /[/\\:*?"<>|\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]|^[. ]|[. ]$|^(?:con|prn|aux|nul|com\d|lpt\d)(?:\..*)?$/iu;

/** Whether a name can be part of a file's name on every usual system, and be read back from it. */
export function isFileName(name: string): boolean {
  return name !== "" && [...name].length <= longestName && !forbidden.test(name);
}

/** The layout with a place for the boot: before the pass where it has none. */
export function layoutWithBoots(layout: Layout): Layout {
  // With one already, a second is no layout.
  return parseLayout(layout.pattern.replace("{pass}", "{boot}_{pass}")).layout ?? layout;
}

/**
 * The path that a log should get so that `placeLog` finds its place again, as .csv.
 * @returns null where it would be read as another place, or as several
 */
export function nameLog(place: PassPlace, layout: Layout, known: KnownNames): string | null {
  const text = layout.tokens
    .map((token) => (token.kind === "text" ? token.text : (place[token.name] ?? "")))
    .join("");
  const path = `${text}.csv`;
  const { place: again } = placeLog(path.split("/"), layout, known);
  const isSame =
    again !== null &&
    again.game === place.game &&
    again.config === place.config &&
    again.pass === place.pass &&
    again.boot === place.boot;
  return isSame ? path : null;
}
