/** What stands between the parts of a name, the longest first. */
export const separators = [" - ", "_", " ", "-", "."] as const;

/** How the names of a folder's logs tell the pass: at their end or start, behind the same separator, alike but for digits. */
export interface TailRule {
  readonly isAtEnd: boolean;
  /** Between the pass and the rest. */
  readonly glue: string;
  /** The pass with every number as 0, such as "0", "run 0" or "0-0-0_0-0". */
  readonly shape: string;
}

export interface SplitName {
  readonly head: string;
  readonly pass: string;
}

/** A number, a date or a time, also behind a word: "3", "run 3", "pass-03", "2026-03-01_21-14". */
const passLike = /^(?:\p{L}{1,12}[-_ #]?)?\d[-\d_. ()T]*$/u;
/** Whether a name could be a pass's and nothing else. */
export function isPassName(name: string): boolean {
  return passLike.test(name);
}

/** At the start of a name a number alone may belong to a game's name. */
const stampLike = /^(?:\p{L}{1,12}[-_ #]?\d+|\d[-\d_.T]{5,})$/u;

/** Every way in which this name could tell the pass, the longest pass first. */
export function tailRules(name: string): readonly TailRule[] {
  const rules: TailRule[] = [];
  for (let at = 1; at < name.length; at++) {
    const glue = separators.find((text) => name.startsWith(text, at));
    if (glue === undefined) continue;
    const pass = name.slice(at + glue.length);
    if (passLike.test(pass)) rules.push({ isAtEnd: true, glue, shape: shapeOf(pass) });
  }
  for (let at = name.length - 1; at > 0; at--) {
    const glue = separators.find((text) => name.startsWith(text, at));
    const stamp = name.slice(0, at);
    if (glue !== undefined && stampLike.test(stamp))
      rules.push({ isAtEnd: false, glue, shape: shapeOf(stamp) });
  }
  return rules;
}

/** The name in two by the rule; null where it is not put together so. */
export function splitByRule(name: string, { isAtEnd, glue, shape }: TailRule): SplitName | null {
  const pass = escapeRegExp(shape).replaceAll("0", "\\d+");
  const between = escapeRegExp(glue);
  const found = isAtEnd
    ? new RegExp(`^(?<head>.+)${between}(?<pass>${pass})$`, "u").exec(name)
    : new RegExp(`^(?<pass>${pass})${between}(?<head>.+)$`, "u").exec(name);
  const { head, pass: told } = found?.groups ?? {};
  return head === undefined || told === undefined ? null : { head, pass: told };
}

function shapeOf(pass: string): string {
  return pass.replace(/\d+/g, "0");
}

function escapeRegExp(text: string): string {
  return text.replace(/[\\^$.*+?()[\]{}|/]/g, "\\$&");
}
