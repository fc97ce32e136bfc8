import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { GrowingNumbers } from "../../src/read/growing-numbers.ts";

describe("numbers that grow in number", () => {
  test("are those of an array, whatever is done to both", () => {
    const value = fc.integer({ min: 0, max: 99 });
    const step = fc.oneof(
      fc.record({ kind: fc.constant("push" as const), times: fc.nat(1500), value }),
      fc.record({ kind: fc.constant("room" as const), times: fc.nat(1500), value }),
      fc.record({ kind: fc.constant("blank" as const), times: fc.constant(1), value }),
      fc.record({ kind: fc.constant("keep" as const), times: fc.nat(2000), value }),
    );
    fc.assert(
      fc.property(fc.array(step, { maxLength: 12 }), fc.constantFrom(0, 1, 2000.5), (steps, expected) => {
        const numbers = new GrowingNumbers(expected);
        let plain: number[] = [];
        for (const { kind, times, value: next } of steps) {
          const added = Array.from({ length: times }, (_, i) => next + i);
          if (kind === "push") for (const number of added) numbers.push(number);
          if (kind === "room") {
            numbers.room(times).set(added);
            numbers.length += times;
          }
          if (kind === "push" || kind === "room") plain.push(...added);
          if (kind === "blank") {
            const last = plain.findLastIndex((number) => !Number.isNaN(number));
            const isIt = next % 2 === 0;
            numbers.blankLast(isIt ? (plain[last] ?? 0) : -1);
            if (isIt && last >= 0) plain[last] = Number.NaN;
          }
          if (kind === "keep") {
            numbers.keepLast(times);
            plain = times === 0 ? [] : plain.slice(-times);
          }
          expect(numbers.length).toBe(plain.length);
        }
        expect([...numbers.view()]).toEqual(plain);
        if (plain.length > 7) expect([...numbers.view(3, 7)]).toEqual(plain.slice(3, 7));
      }),
      { numRuns: 200 },
    );
  });

  test.for([0, 1023, 1024, 1025, 5000])("are kept over the room there was at first: %i of them", (count) => {
    const numbers = new GrowingNumbers();
    for (let i = 0; i < count; i++) numbers.push(i);
    expect([...numbers.view()]).toEqual(Array.from({ length: count }, (_, i) => i));
  });

  test("have as much room as was asked for", () => {
    for (const before of [0, 1, 1000, 1024, 2000]) {
      const numbers = new GrowingNumbers();
      for (let i = 0; i < before; i++) numbers.push(i);
      for (const count of [1, 24, 25, 4000]) expect(numbers.room(count).length).toBeGreaterThanOrEqual(count);
      expect([...numbers.view()]).toEqual(Array.from({ length: before }, (_, i) => i));
    }
  });

  test("without any, there is no last one to blank", () => {
    const numbers = new GrowingNumbers();
    numbers.blankLast(0);
    expect(numbers.length).toBe(0);
    expect([...numbers.view()]).toEqual([]);
  });
});
