import fc from "fast-check";
import { expect, test } from "vitest";
import { partitionAt } from "../../src/shared/partition-at.ts";

test("the wanted value is where sorting would put it, with none larger before and none smaller after", () => {
  const value = fc.oneof(fc.double({ noNaN: true }), fc.constantFrom(-1, 0, 1, 16.67));
  fc.assert(
    fc.property(fc.array(value, { minLength: 1, maxLength: 60 }), fc.nat(), (values, at) => {
      const wanted = at % values.length;
      const sorted = Float64Array.from(values).sort();
      const partitioned = Float64Array.from(values);
      partitionAt(partitioned, wanted);
      const middle = partitioned[wanted] as number;
      // Both zeros are one value here.
      expect(middle === sorted[wanted]).toBe(true);
      expect(partitioned.subarray(0, wanted).every((other) => other <= middle)).toBe(true);
      expect(partitioned.subarray(wanted).every((other) => other >= middle)).toBe(true);
      const again = partitioned.slice().sort();
      expect(again.every((other, i) => other === sorted[i])).toBe(true);
    }),
  );
});
