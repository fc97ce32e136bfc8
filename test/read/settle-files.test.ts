import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { FileSettler } from "../../src/read/settle-files.ts";

const options = { settleMs: 1000, patienceMs: 10_000 };

describe("when a watched file is whole", () => {
  test("it is due once it has been still for long enough, and is named once", () => {
    const settler = new FileSettler(options);
    settler.look("a.csv", "1", 0);
    expect(settler.due(999)).toEqual([]);
    expect(settler.nextDueMs()).toBe(1000);
    expect(settler.due(1000)).toEqual(["a.csv"]);
    settler.take("a.csv");
    expect(settler.due(5000)).toEqual([]);
    expect(settler.nextDueMs()).toBe(Number.POSITIVE_INFINITY);
  });

  test("every change starts the wait anew", () => {
    const settler = new FileSettler(options);
    settler.look("a.csv", "1", 0);
    settler.look("a.csv", "2", 900);
    settler.look("a.csv", "2", 1500);
    expect(settler.due(1899)).toEqual([]);
    expect(settler.due(1900)).toEqual(["a.csv"]);
  });

  test("a file that was read is due again when it is written again, and not when it is only looked at", () => {
    const settler = new FileSettler(options);
    settler.look("a.csv", "1", 0);
    settler.take("a.csv");
    settler.look("a.csv", "1", 2000);
    expect(settler.pending()).toEqual([]);
    settler.look("a.csv", "2", 3000);
    expect(settler.due(4000)).toEqual(["a.csv"]);
  });

  test("a file that changes and changes back has been read already", () => {
    const settler = new FileSettler(options);
    settler.look("a.csv", "1", 0);
    settler.take("a.csv");
    settler.look("a.csv", "2", 1000);
    settler.look("a.csv", "1", 1500);
    expect(settler.pending()).toEqual([]);
  });

  test("a file that is gone is forgotten, and is new when it comes back", () => {
    const settler = new FileSettler(options);
    settler.look("a.csv", "1", 0);
    settler.take("a.csv");
    settler.look("a.csv", null, 500);
    settler.look("a.csv", "1", 600);
    expect(settler.due(1600)).toEqual(["a.csv"]);
  });

  test("a file that does not end as a log ends is asked for again until patience is over", () => {
    const settler = new FileSettler(options);
    settler.look("a.csv", "1", 0);
    for (let now = 1000; now < options.patienceMs; now += 1000) {
      expect(settler.due(now)).toEqual(["a.csv"]);
      expect(settler.isPatienceOver("a.csv", now)).toBe(false);
      settler.postpone("a.csv", now);
      expect(settler.due(now + 999)).toEqual([]);
    }
    expect(settler.isPatienceOver("a.csv", options.patienceMs)).toBe(true);
  });

  test("patience counts from the last change, whenever that was", () => {
    const settler = new FileSettler(options);
    settler.look("a.csv", "1", 5000);
    settler.look("a.csv", "2", 7000);
    expect(settler.isPatienceOver("a.csv", 16_999)).toBe(false);
    expect(settler.isPatienceOver("a.csv", 17_000)).toBe(true);
  });

  test("of a file that is not there, or gone again, nothing is waited for", () => {
    const settler = new FileSettler(options);
    settler.postpone("a.csv", 0);
    settler.take("a.csv");
    expect(settler.isPatienceOver("a.csv", 1e9)).toBe(false);
    settler.look("a.csv", "1", 0);
    settler.look("a.csv", null, 500);
    settler.postpone("a.csv", 600);
    settler.take("a.csv");
    expect(settler.isPatienceOver("a.csv", 1e9)).toBe(false);
    expect(settler.pending()).toEqual([]);
    expect(settler.nextDueMs()).toBe(Number.POSITIVE_INFINITY);
  });

  test("the next that may be whole is the first of those that are growing, which are all named", () => {
    const settler = new FileSettler(options);
    settler.look("a.csv", "1", 300);
    settler.look("b.csv", "1", 100);
    settler.look("c.csv", "1", 200);
    expect(settler.nextDueMs()).toBe(1100);
    expect(settler.pending()).toEqual(["a.csv", "b.csv", "c.csv"]);
    settler.postpone("b.csv", 1100);
    expect(settler.nextDueMs()).toBe(1200);
  });

  test("whatever happens, a file is due only after it was still for the whole wait, and in the end it is", () => {
    const step = fc.record({
      file: fc.constantFrom("a", "b", "c"),
      version: fc.option(fc.constantFrom("1", "2", "3"), { freq: 6 }),
      afterMs: fc.nat(1500),
      takes: fc.boolean(),
    });
    fc.assert(
      fc.property(fc.array(step, { maxLength: 40 }), (steps) => {
        const settler = new FileSettler(options);
        const last = new Map<string, { version: string; sinceMs: number; taken: string | null }>();
        let now = 0;
        for (const { file, version, afterMs, takes } of steps) {
          now += afterMs;
          settler.look(file, version, now);
          const before = last.get(file);
          if (version === null) last.delete(file);
          else if (before?.version !== version)
            last.set(file, { version, sinceMs: now, taken: before?.taken ?? null });
          for (const due of settler.due(now)) {
            const known = last.get(due)!;
            expect(now - known.sinceMs).toBeGreaterThanOrEqual(options.settleMs);
            expect(known.taken).not.toBe(known.version);
            if (takes) {
              settler.take(due);
              known.taken = known.version;
            }
          }
        }
        const unread = [...last].filter(([, { version, taken }]) => version !== taken).map(([file]) => file);
        expect(settler.due(now + options.settleMs).sort()).toEqual(unread.sort());
      }),
    );
  });
});
