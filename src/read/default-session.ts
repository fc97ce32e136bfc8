import { defaultLayout } from "./layout.ts";
import type { Session } from "./session-file.ts";

/** The session of a folder without a session file. */
export const defaultSession: Session = {
  title: null,
  baseline: null,
  layout: defaultLayout,
  layoutIs: null,
  lows: "percentile",
  mattersPct: 3,
  confidencePct: 95,
  falseAlarmControl: "columns",
  trim: { skipS: 0, keepS: null },
  log: {},
  logFor: [],
  games: [],
  configs: [],
  setAside: [],
  system: [],
};
