import { describe, expect, test } from "vitest";
import { columnLabel, findColumn, shown } from "../../src/read/find-column.ts";
import { headOf, repeat } from "../support/head-of.ts";

describe("a column is found as a person would name it", () => {
  const columns = headOf(
    "Frame Time,frame time,Power,power,17,,Altitude",
    repeat(5, (i) => `${i},2,3,4,5,6,7`),
  );

  test.for([
    { wanted: "Frame Time", index: 0, by: "its own spelling before another's" },
    { wanted: "frame time", index: 1, by: "its own spelling" },
    { wanted: " ALTITUDE ", index: 6, by: "its name in capitals" },
    { wanted: "#3", index: 2, by: "its number" },
    { wanted: " 4 ", index: 3, by: "its number alone" },
    { wanted: "17", index: 4, by: "a name that is a number" },
    { wanted: "#6", index: 5, by: "its number where it has no name" },
  ])("$wanted: by $by", ({ wanted, index }) => {
    expect(findColumn(columns, wanted)).toBe(index);
  });

  test.for([
    {
      wanted: "POWER",
      fault: { code: "log-column-twice", key: "clock", wanted: "POWER", positions: [3, 4] },
    },
    { wanted: "#8", fault: { code: "log-column-missing", wanted: "#8" } },
    { wanted: "#0", fault: { code: "log-column-missing" } },
    { wanted: "#12345", fault: { code: "log-column-missing" } },
    { wanted: "x3", fault: { code: "log-column-missing" } },
    { wanted: "3x", fault: { code: "log-column-missing" } },
    {
      wanted: "depth",
      fault: {
        code: "log-column-missing",
        key: "clock",
        columns: ["#1", "#2", "#3", "#4", "17", "#6", "Altitude"],
      },
    },
  ])("$wanted is a question", ({ wanted, fault }) => {
    const found = findColumn(columns, wanted);
    expect(typeof found === "object" && found.fault("clock")).toMatchObject(fault);
  });

  test("its number may have two digits", () => {
    const wide = headOf(
      repeat(12, (i) => `column ${i}`).join(","),
      repeat(5, () => repeat(12, String).join(",")),
    );
    expect(findColumn(wide, "#12")).toBe(11);
  });

  test("a log without names has numbers only", () => {
    const bare = headOf(repeat(5, (i) => `${i},16.${i}`));
    expect(bare.map(columnLabel)).toEqual(["#1", "#2"]);
    expect(findColumn(bare, "#2")).toBe(1);
  });

  test("a name of a page is cut in sentences", () => {
    const names = ["a".repeat(60), "b".repeat(61)];
    const columns = headOf(
      names.join(","),
      repeat(5, (i) => `${i},16.${i}`),
    );
    expect(columns.map(shown)).toEqual([names[0], `${"b".repeat(60)}…`]);
    expect(columns.map(columnLabel)).toEqual(names);
  });
});
