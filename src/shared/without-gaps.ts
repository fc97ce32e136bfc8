/** Keys that may hold undefined may be missing; the others are there. */
export type WithoutGaps<T> = {
  [K in keyof T as undefined extends T[K] ? never : K]: T[K];
} & {
  [K in keyof T as undefined extends T[K] ? K : never]?: Exclude<T[K], undefined>;
};

/** An optional key that was left out is absent, not undefined. */
export function withoutGaps<T extends object>(value: T): WithoutGaps<T> {
  const entries = Object.entries(value).filter(([, inner]) => inner !== undefined);
  return Object.fromEntries(entries) as WithoutGaps<T>;
}
