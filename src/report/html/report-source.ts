import type { Findings } from "../../judge/find-findings.ts";
import type { Session } from "../../read/session-file.ts";
import type { PictureSource } from "../chart/picture.ts";

/** What a report is written from; it shows and carries the judgement that is shown. */
export interface ReportSource extends PictureSource {
  readonly findings: Findings;
  /** What the session file says beside what was judged. */
  readonly session: Session;
}
