import { nearestName } from "../../shared/nearest.ts";
import { cautionPages } from "./caution-pages.ts";
import { flagPages } from "./flag-pages.ts";
import type { Page } from "./page.ts";
import { problemPages } from "./problem-pages.ts";

const pagesByKind = { flag: flagPages, caution: cautionPages, problem: problemPages } as const;
export type PageKind = keyof typeof pagesByKind;

/** A page with the code it is for; one code may be a flag of passes and a caution as well. */
export interface CodePage extends Page {
  readonly kind: PageKind;
  readonly code: string;
}

/** Every page there is: flags of passes, cautions, problems with the input. */
export const allPages: readonly CodePage[] = (Object.keys(pagesByKind) as PageKind[]).flatMap((kind) =>
  Object.entries(pagesByKind[kind]).map(([code, page]) => ({ kind, code, ...page })),
);

/** The pages of one code; `nearest` is the code that was most likely meant where there is none. */
export function findPages(code: string): {
  readonly pages: readonly CodePage[];
  readonly nearest: string | null;
} {
  const wanted = code.toLowerCase();
  const pages = allPages.filter((page) => page.code === wanted);
  const codes = allPages.map((page) => page.code);
  return { pages, nearest: pages.length > 0 ? null : nearestName(wanted, [...codes, "method"]) };
}
