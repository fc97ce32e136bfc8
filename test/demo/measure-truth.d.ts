export interface Figures {
  avgFps: number;
  low1Fps: number;
  low01Fps: number;
  cpuPowerW: number;
}
export interface TrueChange {
  game: string;
  config: string;
  against: string;
  changePct: Figures;
  standardErrorPct: Figures;
}
export interface TrueCell {
  game: string;
  config: string;
  typical: Figures;
  spreadPct: Figures;
}
export declare function measureTruth(
  seed: number,
  passes: number,
  only?: readonly string[],
): { changes: TrueChange[]; cells: TrueCell[] };
