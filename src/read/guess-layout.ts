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
  if (logs.length === 0 || depth >= defaultLayout.depth) return defaultLayout;
  for (const pattern of flatPatterns) {
    const { layout } = parseLayout(pattern);
    if (layout === null || layout.depth !== depth) continue;
    const places = logs.map((parts) => placeLog(parts, layout).place);
    if (places.some((place) => place === null)) continue;
    const configs = new Set(places.map((place) => place?.config));
    const cells = new Set(places.map((place) => JSON.stringify([place?.game, place?.config])));
    if (configs.size > 1 && cells.size < logs.length) return layout;
  }
  return defaultLayout;
}
