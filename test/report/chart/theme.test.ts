import { describe, expect, test } from "vitest";
import { darkTheme, lightTheme, type Theme } from "../../../src/report/chart/theme.ts";

type Rgb = readonly [number, number, number];

/** Linear light of a colour "#rrggbb" (IEC 61966-2-1). */
function linear(color: string): Rgb {
  return [1, 3, 5].map((at) => {
    const value = Number.parseInt(color.slice(at, at + 2), 16) / 255;
    return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
  }) as unknown as Rgb;
}

function luminance([red, green, blue]: Rgb): number {
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

/** WCAG 2.2, definition of contrast ratio. */
function contrast(a: string, b: string): number {
  const [dark, light] = [luminance(linear(a)), luminance(linear(b))].sort((x, y) => x - y) as [
    number,
    number,
  ];
  return (light + 0.05) / (dark + 0.05);
}

/** CIE 1976 L*a*b* for white D65. */
function lab(rgb: Rgb): Rgb {
  const [r, g, b] = rgb;
  const f = (t: number): number => (t > (6 / 29) ** 3 ? Math.cbrt(t) : t / (3 * (6 / 29) ** 2) + 4 / 29);
  const x = f((0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.95047);
  const y = f(0.2126 * r + 0.7152 * g + 0.0722 * b);
  const z = f((0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.08883);
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

/** Full dichromacy: Machado, Oliveira & Fernandes 2009, IEEE Trans. Vis. Comput. Graph. 15(6), 1291-1298, table 1 (from memory). */
const seenBy: Readonly<Record<string, readonly [Rgb, Rgb, Rgb]>> = {
  everyone: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  protanopia: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deuteranopia: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  tritanopia: [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
};

function distance(a: string, b: string, matrix: readonly [Rgb, Rgb, Rgb]): number {
  const seen = (color: string): Rgb => {
    const rgb = linear(color);
    return lab(
      matrix.map((row) =>
        Math.min(
          1,
          Math.max(
            0,
            row.reduce((sum, weight, i) => sum + weight * (rgb[i] as number), 0),
          ),
        ),
      ) as unknown as Rgb,
    );
  };
  const [first, second] = [seen(a), seen(b)];
  return Math.hypot(...first.map((value, i) => value - (second[i] as number)));
}

const themes: readonly (readonly [string, Theme])[] = [
  ["light", lightTheme],
  ["dark", darkTheme],
];

describe.for(themes)("colours of the %s theme", ([, theme]) => {
  test("read as text on their paper and on the band: 4.5 to 1, WCAG 2.2 criterion 1.4.3", () => {
    for (const color of [theme.ink, theme.quiet, theme.baseline, ...theme.configs]) {
      expect(contrast(color, theme.paper), color).toBeGreaterThanOrEqual(4.5);
      expect(contrast(color, theme.band), color).toBeGreaterThanOrEqual(4.5);
    }
  });

  test.for(Object.keys(seenBy))("keep the first three configs and the baseline apart: %s", (eyes) => {
    const colors = [theme.baseline, ...theme.configs.slice(0, 3)];
    for (const [i, a] of colors.entries()) {
      for (const b of colors.slice(i + 1)) {
        // About ten just noticeable differences; shapes and names part the rest.
        expect(distance(a, b, seenBy[eyes] as readonly [Rgb, Rgb, Rgb]), `${a} ${b}`).toBeGreaterThan(10);
      }
    }
  });

  test("config colours are all different", () => {
    expect(new Set([theme.baseline, ...theme.configs]).size).toBe(theme.configs.length + 1);
  });
});
