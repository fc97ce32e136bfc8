import { expect, test } from "vitest";
import { readNoise } from "../../src/read/read-noise.ts";

test.for([
  ["1% low 2%", "low1Fps", 2],
  ["1% low: 2", "low1Fps", 2],
  ["0.1% LOW = 4.5 %", "low01Fps", 4.5],
  ["average FPS 0.6%", "avgFps", 0.6],
  ["avgFps=.6", null, 0],
  ["avgFps 0.6", "avgFps", 0.6],
  ["CPU power 1%", "cpuPowerW", 1],
  ["CPU power 12.75%", "cpuPowerW", 12.75],
  ["1% low 2% or so", null, 0],
  ["1% low 2%%", null, 0],
  [": 1% low 2%", null, 0],
  ["power 2%", null, 0],
  [`1% low${" ".repeat(992)}2%`, "low1Fps", 2],
  [`1% low${" ".repeat(993)}2%`, null, 0],
  ["2%", null, 0],
  ["1% low", null, 0],
  ["1% low 0%", null, 0],
  ["1% low -2%", null, 0],
  ["1% low 100%", null, 0],
  ["1% lows 2%", null, 0],
  ["1% low NaN", null, 0],
  ["", null, 0],
  [`${"1% low ".repeat(20_000)}x`, null, 0],
] as const)("%j is read as it was meant or refused", ([text, metric, pct]) => {
  const noise = readNoise(text);
  if (metric === null) expect(noise).toHaveProperty("expected");
  else expect(noise).toEqual({ game: null, metric, pct });
});

test("a misspelt metric is told the nearest one", () => {
  expect(readNoise("1% lows 2%")).toEqual({ expected: expect.stringContaining('did you mean "1% low"?') });
  expect(readNoise("loudness 2%")).toEqual({ expected: expect.not.stringContaining("did you mean") });
});

test.for([
  { text: "saltworks: CPU power 1%", game: "saltworks", metric: "cpuPowerW", pct: 1 },
  { text: "saltworks:   1% low 2%", game: "saltworks", metric: "low1Fps", pct: 2 },
  { text: "part 2: the mill: 1% low: 2%", game: "part 2: the mill", metric: "low1Fps", pct: 2 },
  { text: "e\u0301: avgFps 0.5", game: "\u00e9", metric: "avgFps", pct: 0.5 },
])("$text is the noise of one game", ({ text, ...stated }) => {
  expect(readNoise(text)).toEqual(stated);
});
