import { benjaminiHochberg, holm } from "./adjust-p.ts";

export type FalseAlarmControl = "columns" | "strict";

/** p-values of several columns after the control of false alarms; arrays follow the order given. */
export interface ControlledColumns {
  readonly bhWithin: readonly (readonly number[])[];
  /** Each column's own p: the smallest of its adjusted p-values (Simes 1986). */
  readonly simes: readonly number[];
  readonly simesAdjusted: readonly number[];
  readonly isSelected: readonly boolean[];
  /** Number of columns that show anything at all. */
  readonly selected: number;
  readonly adjusted: readonly (readonly number[])[];
}

/**
 * False alarms over columns (one config against the baseline, one metric): Benjamini-Hochberg within each column,
 * after a first look at which columns show anything, so that a real effect in one column buys no false alarms in another.
 * @param columns p-values per column; every column has at least one
 * @see Benjamini & Bogomolov 2014, JRSS B 76:297; Simes 1986, Biometrika 73:751
 */
export function controlColumns(columns: readonly (readonly number[])[], alpha: number): ControlledColumns {
  const bhWithin = columns.map(benjaminiHochberg);
  const simes = bhWithin.map((adjusted) => Math.min(...adjusted));
  const simesAdjusted = benjaminiHochberg(simes);
  const isSelected = simesAdjusted.map((p) => p <= alpha);
  const selected = isSelected.filter(Boolean).length;
  const factor = columns.length / Math.max(1, selected);
  const adjusted = bhWithin.map((column) => column.map((p) => Math.min(1, p * factor)));
  return { bhWithin, simes, simesAdjusted, isSelected, selected, adjusted };
}

/** One comparison's p after the control, and the p it would have needed (both on the scale of its own p). */
export interface ControlledP {
  readonly pAdjusted: number;
  readonly called: boolean;
  readonly alphaEff: number;
}

/**
 * Applies the session's rule to one group of columns and says for each comparison which p would have been enough.
 * `strict` is Holm over all comparisons of the group.
 */
export function controlFalseAlarms(
  columns: readonly (readonly number[])[],
  alpha: number,
  rule: FalseAlarmControl,
): ControlledP[][] {
  if (rule === "strict") {
    const flat = holm(columns.flat());
    const calledInAll = flat.filter((p) => p <= alpha).length;
    let next = 0;
    return columns.map((column) =>
      column.map(() => {
        const pAdjusted = flat[next++] as number;
        const called = pAdjusted <= alpha;
        const calledOthers = called ? calledInAll - 1 : calledInAll;
        return { pAdjusted, called, alphaEff: alpha / (flat.length - calledOthers) };
      }),
    );
  }
  const { adjusted, isSelected, selected } = controlColumns(columns, alpha);
  return adjusted.map((column, i) => {
    const calledInColumn = column.filter((p) => p <= alpha).length;
    const columnsNeeded = isSelected[i] ? selected : selected + 1;
    return column.map((pAdjusted) => {
      const called = pAdjusted <= alpha;
      const callsNeeded = called ? calledInColumn : calledInColumn + 1;
      const alphaEff = ((alpha * columnsNeeded) / columns.length) * (callsNeeded / column.length);
      return { pAdjusted, called, alphaEff };
    });
  });
}
