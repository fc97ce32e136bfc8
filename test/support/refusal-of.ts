import { type Problem, RunError } from "../../src/shared/problem.ts";

/** What a call is refused for; a call that is not refused, or that ends in a fault of ours, fails the test. */
export async function refusalOf(call: () => Promise<unknown>): Promise<readonly Problem[]> {
  try {
    await call();
  } catch (error) {
    if (error instanceof RunError) return error.problems;
    throw error;
  }
  throw new Error("it was not refused");
}
