import { factorNames } from "./factor-names.ts";
import {
  defaultLayout,
  type KnownNames,
  type Layout,
  parseLayout,
  placeLog,
  withoutLogExtension,
} from "./layout.ts";
import { isPassName, separators, splitByRule, type TailRule, tailRules } from "./pass-tails.ts";

/** How a folder's logs seem to be arranged. */
export interface GuessedLayout {
  readonly layout: Layout;
  /** Games and configs that take names apart which the pattern alone does not; empty for folders. */
  readonly known: KnownNames;
  /** "usual": as without a session file; "told": by how the logs are named; "unclear": nothing tells, so the usual one. */
  readonly how: "usual" | "told" | "unclear";
}

/** One arrangement to try: what each log's path gives by it. */
interface Draft {
  /** With {a} and {b} for game and config, whichever is which. */
  readonly template: string;
  readonly as: readonly string[];
  readonly bs: readonly string[];
  /** How well it explains the names; the usual arrangement of logs in folders has 0. */
  readonly score: number;
}

/** The paths of logs in their parts, and what of them lies above the folder. */
interface Paths {
  readonly logs: readonly (readonly string[])[];
  readonly stems: readonly string[];
  /** Folders between the folder and the least deep log. */
  readonly levels: number;
}

/**
 * The arrangement of a folder's logs, by how deep they lie and how their names are put together: what places every log
 * in exactly one way and repeats games and configs as a session does. Where both orders fit, game comes before config,
 * unless a usual name for a baseline says otherwise.
 * @param logs parts of each log's path, the log's name last
 * @param above how many of the parts lie above the folder
 * @param namesBaseline whether one of these names is a usual one for a baseline
 */
export function guessLayout(
  logs: readonly (readonly string[])[],
  above = 0,
  namesBaseline: (names: readonly string[]) => boolean = () => false,
): GuessedLayout {
  const levels = Math.min(...logs.map((parts) => parts.length - above)) - 1;
  const stems = logs.map((parts) => withoutLogExtension(parts.at(-1) ?? "").normalize("NFC"));
  const paths: Paths = { logs, stems, levels };
  const drafts = levels >= 2 ? folderDrafts(paths, namesBaseline) : nameDrafts(paths, namesBaseline);
  const fitting = drafts
    .sort((x, y) => y.score - x.score)
    .map((draft) => settle(draft, paths, namesBaseline))
    .find((guess) => guess !== null);
  if (fitting !== undefined && fitting !== null) return fitting;
  const isUsual = levels > 0 && arePlacedApart(defaultLayout, paths);
  const how = isUsual || logs.length < 2 ? "usual" : "unclear";
  return { layout: defaultLayout, known: { games: [], configs: [] }, how };
}

/** A boot or a visit to the firmware's settings, or the day of one. */
const bootLike =
  /^(?:(?:re)?boot|visit|day)[-_ ]?\d{1,3}$|^b\d{1,2}$|^\d{4}[-_.]?\d\d[-_.]?\d\d$|^\d{1,2}[-.]\d{1,2}[-.]\d{2,4}$/i;
/** Inside a name a date is the pass's. */
const bootWord = /^(?:(?:(?:re)?boot|visit)[-_ ]?\d{1,3}|b\d{1,2})$/i;

/** Logs in folders: which of the folders are game and config. */
function folderDrafts(
  { logs, stems, levels }: Paths,
  namesBaseline: (names: readonly string[]) => boolean,
): Draft[] {
  const level = (up: number): string[] => logs.map((parts) => (parts.at(-1 - up) ?? "").normalize("NFC"));
  const isBoots = (up: number): boolean => up <= levels && level(up).every((name) => bootLike.test(name));
  const draft = (template: string, a: number, b: number, score: number): Draft => ({
    template,
    as: level(a),
    bs: level(b),
    score,
  });
  const [stem = ""] = stems;
  // A folder for each pass, whose files are all called the same.
  if (
    stems.every((name) => name === stem) &&
    level(1).every((name) => isPassName(name)) &&
    !/[{}]/.test(stem)
  )
    return [draft(`{a}/{b}/{pass}/${stem}`, 3, 2, 1)];
  // Configs may be called after days too, as drivers are; not where those above them are configs by their names.
  if (isBoots(1) && (levels > 2 || namesBaseline(level(2)))) return [draft("{a}/{b}/{boot}/{pass}", 3, 2, 1)];
  if (isBoots(2)) return [draft("{a}/{boot}/{b}/{pass}", 3, 1, 1)];
  const usual = draft("{a}/{b}/{pass}", 2, 1, 1);
  // Passes are mostly counted on from day to day; where they are not, the days tell them apart.
  return isBoots(3) ? [usual, draft("{boot}/{a}/{b}/{pass}", 2, 1, 0.5)] : [usual];
}

/** Logs whose names tell more than the pass. */
function nameDrafts(paths: Paths, namesBaseline: (names: readonly string[]) => boolean): Draft[] {
  const { logs, stems, levels } = paths;
  const [first = ""] = stems;
  const folders = logs.map((parts) => (parts.at(-2) ?? "").normalize("NFC"));
  const areBoots = levels === 1 && folders.every((name) => bootLike.test(name));
  const usualNames = (draft: Draft): Draft =>
    namesBaseline(draft.bs) || namesBaseline(draft.as) ? { ...draft, score: draft.score + 0.5 } : draft;
  const ofFolders = levels === 1 ? gridDrafts(folders, (template) => `${template}/{pass}`, 0) : [];
  const ofNames = tailRules(first).flatMap((rule) => {
    const split = stems.map((stem) => splitByRule(stem, rule));
    if (!split.every((parts) => parts !== null)) return [];
    return readHeads(
      split.map(({ head }) => head),
      rule,
    ).flatMap(({ heads, wrap, isBooted }) => {
      const better = isBooted ? 0.25 : 0;
      const inBoots = areBoots ? "{boot}/" : "";
      const drafts = gridDrafts(heads, (template) => inBoots + wrap(template), better);
      const names = new Set(heads);
      if (levels === 1 && !areBoots) {
        // One folder for all says less than what the names say by themselves.
        const worth = new Set(folders).size > 1 ? 3 : 2;
        const pairs = new Set(heads.map((head, i) => JSON.stringify([folders[i], head])));
        const fill = pairs.size / (new Set(folders).size * names.size);
        if (names.size > 1)
          drafts.push({
            template: `{a}/${wrap("{b}")}`,
            as: folders,
            bs: heads,
            score: worth + fill + better,
          });
      } else if (![...names].every((name) => separators.slice(0, 2).some((text) => name.includes(text)))) {
        // The folder itself is the game.
        const template = areBoots ? `{a}/{boot}/${wrap("{b}")}` : `{a}/${wrap("{b}")}`;
        const games = logs.map((parts) => (parts.at(areBoots ? -3 : -2) ?? "").normalize("NFC"));
        drafts.push({ template, as: games, bs: heads, score: 2 + better });
      }
      return drafts;
    });
  });
  return [...ofFolders, ...ofNames].map(usualNames);
}

interface Heads {
  readonly heads: readonly string[];
  /** The pattern of a whole name by that of its head. */
  readonly wrap: (template: string) => string;
  readonly isBooted: boolean;
}

/** What is left of names without the pass, with the boot in it and without. */
function readHeads(heads: readonly string[], { isAtEnd, glue }: TailRule): Heads[] {
  const wrap = (template: string): string =>
    isAtEnd ? `${template}${glue}{pass}` : `{pass}${glue}${template}`;
  const read: Heads[] = [{ heads, wrap, isBooted: false }];
  for (const between of separators) {
    const ends = heads.map((head) => head.lastIndexOf(between));
    const areBoots = heads.every(
      (head, i) => (ends[i] as number) > 0 && bootWord.test(head.slice((ends[i] as number) + between.length)),
    );
    if (!areBoots) continue;
    read.push({
      heads: heads.map((head, i) => head.slice(0, ends[i])),
      wrap: (template) => wrap(`${template}${between}{boot}`),
      isBooted: true,
    });
  }
  return read;
}

function gridDrafts(heads: readonly string[], wrap: (template: string) => string, better: number): Draft[] {
  const grid = factorNames([...new Set(heads)]);
  if (grid === null || (grid.outer.length > 1 && grid.fill <= 0.5)) return [];
  const { outer, between, fill } = grid;
  const as = heads.map((head) => outer.find((name) => head.startsWith(name + between)) ?? "");
  const bs = heads.map((head, i) => head.slice((as[i] as string).length + between.length));
  const worth = outer.length > 1 ? 3 : 2.1;
  return [{ template: wrap(`{a}${between}{b}`), as, bs, score: worth + fill + better }];
}

/** The draft as a layout, if it places every log in one way, each in a place of its own, and repeats configs. */
function settle(
  { template, as, bs }: Draft,
  paths: Paths,
  namesBaseline: (names: readonly string[]) => boolean,
): GuessedLayout | null {
  const { logs, levels } = paths;
  const [ofA, ofB] = [[...new Set(as)], [...new Set(bs)]];
  const isTurned = namesBaseline(ofA) && !namesBaseline(ofB);
  const [games, configs] = isTurned ? [ofB, ofA] : [ofA, ofB];
  const [a, b] = isTurned ? ["{config}", "{game}"] : ["{game}", "{config}"];
  const { layout } = parseLayout(template.replace("{a}", a).replace("{b}", b));
  if (layout === null || configs.length < 2) return null;
  const isUsual = layout.pattern === defaultLayout.pattern;
  const known =
    layout.pattern.split("/").length > 2 && levels >= 2 ? { games: [], configs: [] } : { games, configs };
  const cells = new Set<string>();
  for (const parts of logs) {
    const { place } = placeLog(parts, layout, known);
    if (place !== null) cells.add(JSON.stringify([place.game, place.config]));
  }
  if (cells.size === logs.length || !arePlacedApart(layout, paths, known)) return null;
  return { layout: isUsual ? defaultLayout : layout, known, how: isUsual ? "usual" : "told" };
}

/** Whether every log has a place, and no other log has the same. */
function arePlacedApart(layout: Layout, { logs, stems }: Paths, known?: KnownNames): boolean {
  // A log and its packed copy are one pass by any arrangement.
  const names = new Set(logs.map((parts, i) => JSON.stringify([...parts.slice(0, -1), stems[i]])));
  const places = logs.map((parts) => placeLog(parts, layout, known).place);
  return !places.includes(null) && new Set(places.map((place) => JSON.stringify(place))).size === names.size;
}
