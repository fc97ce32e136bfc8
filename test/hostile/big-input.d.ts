export const bigInputs: Readonly<Record<string, (file: string, megabytes: number) => void>>;
export function writeWideLog(file: string, columns: number, rows?: number): void;
