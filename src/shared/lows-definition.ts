/** The three usual definitions of "1% low" and "0.1% low". */
export const lowsDefinitions = ["percentile", "tail-average", "time-weighted"] as const;
export type LowsDefinition = (typeof lowsDefinitions)[number];
