import { joinWords } from "../shared/join-words.ts";
import { visible } from "./escape.ts";

/** A finding in words. `expected` completes "expected ..."; `todo` says what to do. All are safe to print. */
export interface FindingWords {
  readonly message: string;
  readonly expected?: string;
  readonly todo?: string;
}

const longestShown = 80;
const mostListed = 12;

/** Untrusted text in quotes, cut where it is long. */
export function quoted(text: string): string {
  const characters = Array.from(text);
  const cut = characters.length > longestShown;
  return `"${visible(cut ? characters.slice(0, longestShown).join("") : text)}${cut ? "…" : ""}"`;
}

/** Untrusted names, each in quotes; of many, how many more there are. */
export function listed(names: readonly string[], last: "and" | "or"): string {
  const shown = names.slice(0, mostListed).map(quoted);
  const left = names.length - shown.length;
  return left > 0 ? `${shown.join(", ")} ${last} ${left} more` : joinWords(shown, last);
}

/** What to do about a misspelt name; nothing where none is near. */
export function didYouMean(nearest: string | null): Pick<FindingWords, "todo"> {
  return nearest === null ? {} : { todo: `did you mean ${quoted(nearest)}?` };
}
