export function kernelModule(): Promise<string>;
