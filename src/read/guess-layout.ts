import { defaultLayout, type Layout, parseLayout, placeLog } from "./layout.ts";

/** Arrangements tried, in this order, on logs that do not lie in folders of game and config. */
const flatPatterns = [
  "{game}/{config}_{pass}",
  "{game}/{config} {pass}",
  "{game}_{config}_{pass}",
  "{game} - {config} - {pass}",
  "{game}.{config}.{pass}",
  "{game} {config} {pass}",
  "{game}-{config}-{pass}",
];

/**
 * The arrangement of a folder's logs, by how deep they lie and how their names are put together: the first one that
 * places every log in exactly one way and repeats games and configs as a session does.
 * @param logs parts of each log's path below the folder, the log's name last
 * @returns the usual arrangement where nothing fits better
 */
export function guessLayout(logs: readonly (readonly string[])[]): Layout {
  const depth = Math.min(...logs.map((parts) => parts.length));
  for (const pattern of flatPatterns) {
    const { layout } = parseLayout(pattern);
    if (layout?.depth !== depth) continue;
    const places = logs.flatMap((parts) => placeLog(parts, layout).place ?? []);
    const configs = new Set(places.map(({ config }) => config));
    const cells = new Set(places.map(({ game, config }) => JSON.stringify([game, config])));
    const areAllPlaced = places.length === logs.length;
    if (areAllPlaced && configs.size > 1 && cells.size < logs.length) return layout;
  }
  return defaultLayout;
}
