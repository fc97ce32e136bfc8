import type { Place, Problem } from "../shared/problem.ts";
import type { DialectFault } from "./dialect.ts";
import type { ColumnReading, LogReading, TextReading } from "./log.ts";
import { mostColumns } from "./log-limits.ts";

/** No log, and why; what was found out until then is told all the same. */
export function refused(
  problem: Problem,
  text: TextReading | null = null,
  columns: readonly ColumnReading[] = [],
): LogReading {
  return { log: null, text, columns, problems: [problem] };
}

/** Why lines are no table that can be read. */
export function dialectProblem(fault: DialectFault, at: Place): Problem {
  switch (fault.why) {
    case "no-table":
      return { code: "log-no-table", severity: "error", at };
    case "too-wide":
      return { code: "log-too-wide", severity: "error", at, columns: fault.columns, most: mostColumns };
    case "no-rows":
      return { code: "log-without-rows", severity: "error", at };
    case "header-width":
      return {
        code: "log-header-width",
        severity: "error",
        at: { ...at, line: fault.line },
        names: fault.names,
        cells: fault.cells,
      };
  }
}
