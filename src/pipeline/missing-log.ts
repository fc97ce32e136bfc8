import { kindOfPath } from "../read/files.ts";
import type { Problem } from "../shared/problem.ts";

/** That a log is not there; the same name packed, or not packed, is likely to be meant. */
export async function missingLog(file: string): Promise<Problem> {
  const other = file.endsWith(".gz") ? file.slice(0, -".gz".length) : `${file}.gz`;
  const nearest = (await kindOfPath(other)) === "file" ? other : null;
  return { code: "log-missing", severity: "error", at: { file }, nearest };
}
