import { badOption } from "../../shared/problem.ts";
import type { IntervalRow } from "./interval-rows.ts";
import type { PictureRequest } from "./picture.ts";

/**
 * The rows of the page asked for, and words for what else there is.
 * @throws RunError for a page that does not exist
 */
export function pageOf<Row extends IntervalRow>(
  rows: readonly Row[],
  { page, rows: room }: Pick<PictureRequest, "page" | "rows">,
): { readonly page: readonly Row[]; readonly pages: number; readonly more: string } {
  const lanes = Math.max(1, ...rows.map((row) => row.lanes.length));
  const size = Math.max(1, Math.floor(room / lanes));
  const pages = Math.ceil(rows.length / size);
  if (page > pages)
    throw badOption(
      "--page",
      String(page),
      pages === 1 ? "1: everything fits on one picture" : `1 to ${pages}`,
    );
  const first = (page - 1) * size;
  const taken = rows.slice(first, first + size);
  return {
    page: taken,
    pages,
    more: pages === 1 ? "" : ` · ${first + 1} to ${first + taken.length} of ${rows.length}`,
  };
}
