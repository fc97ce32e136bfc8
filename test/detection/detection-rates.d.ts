export interface Scenario {
  readonly name: string;
  /** The flag that must be found; null for a clean session. */
  readonly code: string | null;
}
export interface Rate {
  readonly name: string;
  readonly code: string | null;
  readonly sessions: number;
  readonly cells: number;
  readonly found: number;
  readonly falseSessions: number;
  readonly falsePasses: number;
  readonly passes: number;
}
export declare const scenarios: readonly Scenario[];
export declare function measureDetection(
  api: { readonly summarisePass: unknown; readonly listPasses: unknown },
  scenario: Scenario,
  sessions: number,
  seed: number,
): Rate;
