import { expect, test } from "vitest";
import { readLog } from "../../src/read/read-log.ts";
import { readMade } from "./read-made.js";

// Recorders put together at random, whose frames are known: see make-log.js. `npm run reading` counts many more.
test.for([1, 2, 3, 4])(
  "forty logs of recorders never seen are read rightly, or asked about in doubt: %s",
  async (part) => {
    const others: string[] = [];
    let right = 0;
    const refused = 0;
    for (let i = 0; i < 40; i++) {
      const seed = 77_000 + 40 * part + i;
      const { outcome, why, made } = await readMade(readLog, seed);
      if (outcome === "right") right++;
      else if (outcome !== "asked in doubt")
        others.push(`${seed}: ${outcome}, ${why} (${made.traits.join(", ")})`);
    }
    expect(others).toEqual([]);
    // A question is the exception, and a refusal more so.
    expect(refused).toBeLessThanOrEqual(1);
    expect(right).toBeGreaterThan(30);
  },
);
