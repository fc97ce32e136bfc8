/** What there is to say about a code. Plain words; a code without a page is a type error. */
export interface Page {
  /** One line: what it means, for whom it concerns. */
  readonly means: string;
  /** How it is found. */
  readonly found: string;
  /** What to do about it. */
  readonly todo: string;
  /** Where the rule comes from: a publication, common practice, or this tool alone. */
  readonly source: string;
}

export const practice = "common practice, no source";
export const ownRule = "a rule of runjury; no source";
