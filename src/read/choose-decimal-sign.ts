import type { Dialect } from "./dialect.ts";
import type { Delimiter, Row } from "./split-rows.ts";
import { isNumber } from "./tell-cells.ts";

/** By majority of the cells that can only be read one way. */
export function chooseDecimalSign(
  rows: readonly Row[],
  delimiter: Delimiter,
): Pick<Dialect, "decimalSign" | "isSignInDoubt"> {
  const sample = rows.slice(0, 400);
  // Without a comma in any cell there is no doubt.
  const mayHoldCommas = ({ text }: Row): boolean => text.includes(delimiter === "," ? '"' : ",");
  if (!sample.some(mayHoldCommas)) return { decimalSign: ".", isSignInDoubt: false };
  let commas = 0;
  let points = 0;
  let either = 0;
  for (const { cells, text } of sample) {
    for (const cell of cells ?? []) {
      if (!cell.includes(",")) {
        if (cell.includes(".") && isNumber(cell, ".")) points++;
      } else if (cell.includes(".")) {
        if (isNumber(cell, ",")) commas++;
        else if (isNumber(cell, ".")) points++;
      } else if (isNumber(cell, ",")) {
        const thousands = isNumber(cell, ".") && !/^[+-]?0/.test(cell);
        // Thousands are parted inside quotes only.
        if (thousands && (delimiter === "," || text.includes(`"${cell}"`))) either++;
        else commas++;
      }
    }
  }
  if (commas !== points) return { decimalSign: commas > points ? "," : ".", isSignInDoubt: false };
  const isSignInDoubt = either > 0 && points === 0;
  return { decimalSign: isSignInDoubt && looksDecimal(rows) ? "," : ".", isSignInDoubt };
}

/**
 * Every cell with a comma has exactly three digits behind it. Whole numbers with parted thousands sooner or later
 * show one below 1,000 or a second comma; three fixed decimals never do.
 */
function looksDecimal(rows: readonly Row[]): boolean {
  const withComma = new Set<number>();
  const wholeSmall = new Set<number>();
  let hasTwoGroups = false;
  for (const { cells } of rows.slice(0, 400)) {
    cells?.forEach((cell, i) => {
      if (/^[+-]?\d{1,3},\d{3}$/.test(cell)) withComma.add(i);
      else if (/^[+-]?\d{1,3}$/.test(cell)) wholeSmall.add(i);
      else if (/^[+-]?\d{1,3}(,\d{3}){2,}$/.test(cell)) hasTwoGroups = true;
    });
  }
  return !hasTwoGroups && [...withComma].every((i) => !wholeSmall.has(i));
}
