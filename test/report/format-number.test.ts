import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  formatChange,
  formatCount,
  formatFigure,
  formatGiven,
  formatInterval,
  formatP,
  formatPct,
} from "../../src/shared/format-number.ts";

describe("figures are rounded by their size", () => {
  test.for([
    { value: 0.12345, text: "0.123" },
    { value: 6.5432, text: "6.54" },
    { value: 54.321, text: "54.3" },
    { value: 543.21, text: "543" },
    { value: 9.996, text: "10.0" },
    { value: 99.96, text: "100" },
  ])("$value is $text", ({ value, text }) => {
    expect(formatFigure(value)).toBe(text);
  });
});

describe("changes carry their sign", () => {
  test.for([
    { pct: 2.14, text: "+2.1%" },
    { pct: -8.84, text: "-8.8%" },
    { pct: -12.3, text: "-12%" },
    { pct: 0.04, text: "0.0%" },
    { pct: -0.04, text: "0.0%" },
    { pct: 9.96, text: "+10%" },
  ])("$pct is $text", ({ pct, text }) => {
    expect(formatChange(pct)).toBe(text);
  });

  test("a rounded change never points the other way", () => {
    fc.assert(
      fc.property(fc.double({ min: -99, max: 500, noNaN: true }), (pct) => {
        const shown = Number.parseFloat(formatChange(pct));
        expect(shown * pct).toBeGreaterThanOrEqual(0);
        expect(Math.abs(shown - pct)).toBeLessThanOrEqual(0.5 + 1e-9);
      }),
    );
  });
});

test.for([
  { low: -3.12, high: 0.44, text: "-3.1 to +0.4%" },
  { low: -12.4, high: -4.6, text: "-12 to -5%" },
  { low: -0.02, high: 0.01, text: "0.0 to 0.0%" },
  { low: -26.7, high: -26.52, text: "-26.7 to -26.5%" },
])("an interval has the decimals of its wider end: $text", ({ low, high, text }) => {
  expect(formatInterval(low, high)).toBe(text);
});

test.for([
  { low: -26.7, high: -26.52, pct: -26.61, text: "-26.6%" },
  { low: -27.7, high: -26.4, pct: -26.61, text: "-27%" },
  { low: 9.8, high: 10.2, pct: 10.01, text: "+10.0%" },
  { low: null, high: null, pct: -26.61, text: "-27%" },
])("a change is never shown outside its interval: $text", ({ low, high, pct, text }) => {
  expect(formatChange(pct, { lowPct: low, highPct: high })).toBe(text);
});

test.for([
  { format: () => formatGiven(60), text: "60" },
  { format: () => formatGiven(59.94), text: "59.94" },
  { format: () => formatPct(3), text: "3%" },
  { format: () => formatPct(2.94), text: "2.9%" },
  { format: () => formatP(0.00004), text: "below 0.001" },
  { format: () => formatP(0.0342), text: "0.03" },
  { format: () => formatP(0.5), text: "0.50" },
  { format: () => formatCount(1_234_567), text: "1,234,567" },
  { format: () => formatCount(999), text: "999" },
])("$text", ({ format, text }) => {
  expect(format()).toBe(text);
});
