import { describe, expect, test } from "vitest";
import { RowSplitter, splitRows } from "../../src/read/split-rows.ts";

/** Each row as its first line, the lines it covers and its cells. */
const cut = (lines: readonly string[]) =>
  splitRows(lines, 1, ",").map(({ line, lines: covers, cells }) => [line, covers, cells]);

describe("a line is cut into cells", () => {
  test.for<{ text: string; cells: readonly string[] }>([
    { text: "1,2", cells: ["1", "2"] },
    { text: "1", cells: ["1"] },
    { text: ",", cells: ["", ""] },
    { text: "1,2,", cells: ["1", "2", ""] },
    { text: " 1,2 , 3 ,\t4", cells: ["1", "2", "3", "4"] },
    { text: "\u00a01,2\u00a0", cells: ["1", "2"] },
    { text: "a b, c d", cells: ["a b", "c d"] },
    { text: '1," a, b ",2', cells: ["1", " a, b ", "2"] },
    { text: '1 , "a" ,2', cells: ["1", "a", "2"] },
    { text: '24" screen,2', cells: ['24" screen', "2"] },
    { text: '"",""', cells: ["", ""] },
  ])("$text", ({ text, cells }) => {
    expect(cut([text])).toEqual([[1, 1, cells]]);
    // The same among others, where several quoted lines are cut together.
    expect(cut(['0,"x"', text, '9,"y"'])[1]).toEqual([2, 1, cells]);
  });

  test("blank lines and comments are no rows but count as lines", () => {
    expect(cut(["", "1,2", "   ", "# by hand", '3,"4"', "", '5,"6"'])).toEqual([
      [2, 1, ["1", "2"]],
      [5, 1, ["3", "4"]],
      [7, 1, ["5", "6"]],
    ]);
  });
});

describe("where blanks part cells", () => {
  test.for<{ text: string; cells: readonly string[] }>([
    { text: "1 2", cells: ["1", "2"] },
    { text: "   1  \t 2   3  ", cells: ["1", "2", "3"] },
    { text: '1 "harbour quay" 3', cells: ["1", "harbour quay", "3"] },
    { text: '"say ""late""" "" 3', cells: ['say "late"', "", "3"] },
    { text: '24" 1"a" "b"2', cells: ['24"', '1"a"', '"b"2'] },
    { text: '1 "open quay', cells: ["1", '"open', "quay"] },
  ])("$text", ({ text, cells }) => {
    expect(splitRows([text], 1, " ")).toEqual([{ line: 1, lines: 1, cells, text }]);
  });

  test("blank lines and comments are no rows but count as lines, and a row ends with its line", () => {
    const splitter = new RowSplitter(" ", 4);
    const rows = splitter.push(["1 2", "", "  ", "# by hand", '3 "four', 'five" 6']);
    expect(rows.map(({ line, cells }) => [line, cells])).toEqual([
      [4, ["1", "2"]],
      [8, ["3", '"four']],
      [9, ['five"', "6"]],
    ]);
    expect([splitter.lines, splitter.isHolding]).toEqual([9, false]);
  });
});

describe("a quoted cell may run over line ends", () => {
  test("blank lines and lines like comments inside it belong to it", () => {
    expect(cut(['1,"two', "", "# no comment", 'lines",x', "2,b,y"])).toEqual([
      [1, 4, ["1", "two\n\n# no comment\nlines", "x"]],
      [5, 1, ["2", "b", "y"]],
    ]);
  });

  test("also after quoted rows that arrive together with it", () => {
    expect(cut(['1,"a"', '2,"b"', '3,"c', 'd"', '4,"e"', "5,f"])).toEqual([
      [1, 1, ["1", "a"]],
      [2, 1, ["2", "b"]],
      [3, 2, ["3", "c\nd"]],
      [5, 1, ["4", "e"]],
      [6, 1, ["5", "f"]],
    ]);
  });

  test("also where blanks stand before its quote", () => {
    expect(cut(['1,  "two', 'lines",x'])).toEqual([[1, 2, ["1", "two\nlines", "x"]]]);
  });

  test("also where its end arrives later", () => {
    const splitter = new RowSplitter(",", 10);
    expect(splitter.isHolding).toBe(false);
    expect(splitter.push(["1,a", '2,"b'])).toHaveLength(1);
    expect(splitter.isHolding).toBe(true);
    expect(splitter.lines).toBe(11);
    expect(splitter.push(['c"', "3,d"]).map(({ line, lines, cells }) => [line, lines, cells])).toEqual([
      [11, 2, ["2", "b\nc"]],
      [13, 1, ["3", "d"]],
    ]);
    expect(splitter.isHolding).toBe(false);
    expect(splitter.end()).toEqual([]);
    splitter.passOver(100);
    expect(splitter.lines).toBe(113);
    expect(splitter.push(["4,e"])).toEqual([{ line: 114, lines: 1, cells: ["4", "e"], text: "4,e" }]);
  });

  const overLines = (count: number): string[] => [
    '0,"',
    ...Array.from({ length: count - 2 }, (_, i) => `${i},x`),
    'end"',
  ];

  test.for([
    { count: 3, isOne: true },
    { count: 9, isOne: true },
    { count: 10, isOne: false },
    { count: 30, isOne: false },
  ])("over $count lines: one row: $isOne", ({ count, isOne }) => {
    const rows = splitRows([...overLines(count), "after,y"], 1, ",");
    expect(rows[0]?.cells === null).toBe(!isOne);
    expect(rows.reduce((sum, { lines }) => sum + lines, 0)).toBe(count + 1);
    expect(rows.at(-1)).toMatchObject({ line: count + 1, cells: ["after", "y"] });
  });

  test.for([
    { length: 10_000, isOne: true },
    { length: 30_000, isOne: false },
  ])("with $length characters: one row: $isOne", ({ length, isOne }) => {
    const rows = splitRows([`0,"${"x".repeat(length)}`, 'y"', "1,z"], 1, ",");
    expect(rows[0]?.cells === null).toBe(!isOne);
    expect(rows.at(-1)).toMatchObject({ line: 3, cells: ["1", "z"] });
  });
});

describe("a quote that is never closed costs its own line, no other", () => {
  test("the lines behind it are looked at again", () => {
    const lines = ['1,"oops', ...Array.from({ length: 12 }, (_, i) => `${i + 2},x`), "", "# comment", "14,y"];
    const rows = cut(lines);
    expect(rows[0]).toEqual([1, 1, null]);
    expect(rows.slice(1).map(([line, , cells]) => [line, cells])).toEqual([
      ...Array.from({ length: 12 }, (_, i) => [i + 2, [`${i + 2}`, "x"]]),
      [16, ["14", "y"]],
    ]);
  });

  test("the end of the file gives up on it as well", () => {
    expect(cut(["0,a", '1,"oops', "", "2,x", "# comment", "3,y"])).toEqual([
      [1, 1, ["0", "a"]],
      [2, 1, null],
      [4, 1, ["2", "x"]],
      [6, 1, ["3", "y"]],
    ]);
  });

  test("behind a quoted row as well", () => {
    expect(cut(['1,"a"', '2,"oops', "3,x"])).toEqual([
      [1, 1, ["1", "a"]],
      [2, 1, null],
      [3, 1, ["3", "x"]],
    ]);
    expect(cut(['1,"a"', '2,"oops'])).toEqual([
      [1, 1, ["1", "a"]],
      [2, 1, null],
    ]);
  });

  test("two of them in one stretch cost two lines", () => {
    const plain = Array.from({ length: 20 }, (_, i) => `${i},x`);
    const rows = splitRows(['a,"oops', "b,1", 'c,"again', ...plain], 1, ",");
    expect(rows.filter(({ cells }) => cells === null).map(({ line }) => line)).toEqual([1, 3]);
    expect(rows).toHaveLength(23);
  });

  test("a cell behind it still takes blank lines and comments in", () => {
    const plain = Array.from({ length: 9 }, (_, i) => `${i},x`);
    for (const inside of ["", "# no comment"]) {
      const rows = cut(['1,"oops', "2,x", "", '3,"two', inside, 'lines",y', "", ...plain]);
      expect(rows.slice(0, 4)).toEqual([
        [1, 1, null],
        [2, 1, ["2", "x"]],
        [4, 3, ["3", `two\n${inside}\nlines`, "y"]],
        [8, 1, ["0", "x"]],
      ]);
    }
  });

  test("a comment with quotes is none", () => {
    expect(cut(['1,"a"', '# the "quay', '2,"b"'])).toEqual([
      [1, 1, ["1", "a"]],
      [3, 1, ["2", "b"]],
    ]);
  });

  test("its text is kept as it stands", () => {
    expect(splitRows(['1,"oops, x'], 1, ",")).toEqual([
      { line: 1, lines: 1, cells: null, text: '1,"oops, x' },
    ]);
  });

  const strays = (count: number): string[] =>
    Array.from({ length: count }, (_, i) => [`${i},"oops`, ...Array.from({ length: 9 }, () => "1,x")]).flat();

  test.for([
    { count: 20, isOne: true },
    { count: 300, isOne: false },
  ])("after $count of them cells still run over line ends: $isOne", ({ count, isOne }) => {
    const rows = splitRows([...strays(count), '7,"two', 'lines"', "8,end"], 1, ",");
    expect(rows.filter(({ cells }) => cells === null)).toHaveLength(isOne ? count : count + 1);
    expect(rows.at(-1)).toMatchObject({ cells: ["8", "end"] });
  });
});
