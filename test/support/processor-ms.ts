/** Milliseconds of processors that this process has taken so far: time that a busy machine kept it waiting is none. */
export function processorMs(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}
