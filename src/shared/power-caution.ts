/** Changing what a processor may draw can hurt hardware and people: said wherever power, voltage or cooling limits are. */
export const powerCaution =
  "Changing voltage, power limits or cooling can damage hardware and hurt people: follow the maker's documentation and qualified practice.";

/** Whether these passes hold anything of power, so that the caution belongs beside them. */
export function hasPower(
  passes: readonly { readonly cpuPowerW: number | null; readonly gpuPowerW: number | null }[],
): boolean {
  return passes.some(({ cpuPowerW, gpuPowerW }) => cpuPowerW !== null || gpuPowerW !== null);
}
