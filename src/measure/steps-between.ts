/** Differences of neighbouring values, each minus the one before it; one fewer than there are values, or none. */
export function stepsBetween(values: Float64Array): Float64Array {
  const steps = new Float64Array(Math.max(0, values.length - 1));
  for (let i = 0; i < steps.length; i++) steps[i] = (values[i + 1] as number) - (values[i] as number);
  return steps;
}
