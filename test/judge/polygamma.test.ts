import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { digamma, inverseTrigamma, tetragamma, trigamma } from "../../src/judge/polygamma.ts";
import { expectClose } from "../support/expect-close.ts";
import { readReference } from "../support/read-reference.ts";

const r = readReference<{
  polygamma: { x: number; digamma: number; trigamma: number; tetragamma: number }[];
  inverseTrigamma: { y: number; x: number }[];
}>("test/reference/distributions.json");
const limma = readReference<{
  trigammaInverse: { x: number[]; y: number[] };
  digamma: { x: number[]; y: number[] };
  trigamma: { x: number[]; y: number[] };
}>("fixtures/reference/moderated-variances.json");

const euler = 0.5772156649015329;
const zeta3 = 1.2020569031595942;

describe("polygammas", () => {
  test.for([
    // Abramowitz & Stegun 1964, chapter 6; the constants (Euler's, zeta(3)) from memory, to 16 digits.
    { name: "digamma", f: digamma, x: 1, expected: -euler, source: "A&S 6.3.2" },
    { name: "digamma", f: digamma, x: 0.5, expected: -euler - 2 * Math.LN2, source: "A&S 6.3.3" },
    { name: "digamma", f: digamma, x: 5, expected: -euler + 1 + 1 / 2 + 1 / 3 + 1 / 4, source: "A&S 6.3.2" },
    { name: "trigamma", f: trigamma, x: 1, expected: Math.PI ** 2 / 6, source: "A&S 6.4.2" },
    { name: "trigamma", f: trigamma, x: 0.5, expected: Math.PI ** 2 / 2, source: "A&S 6.4.4" },
    { name: "trigamma", f: trigamma, x: 1.5, expected: Math.PI ** 2 / 2 - 4, source: "A&S 6.4.4, 6.4.6" },
    { name: "tetragamma", f: tetragamma, x: 1, expected: -2 * zeta3, source: "A&S 6.4.2" },
    { name: "tetragamma", f: tetragamma, x: 0.5, expected: -14 * zeta3, source: "A&S 6.4.4" },
  ])("$name($x) has its closed form ($source)", ({ f, x, expected }) => {
    expectClose(f(x), expected, 1e-14);
  });

  test.for(r.polygamma)("agree with R at $x", (row) => {
    expectClose(digamma(row.x), row.digamma, 1e-12, "digamma");
    expectClose(trigamma(row.x), row.trigamma, 1e-12, "trigamma");
    expectClose(tetragamma(row.x), row.tetragamma, 1e-12, "tetragamma");
  });

  test.for(["digamma", "trigamma"] as const)("%s agrees with limma's companions in the fixtures", (name) => {
    const f = { digamma, trigamma }[name];
    limma[name].x.forEach((x, i) => {
      expectClose(f(x), limma[name].y[i]!, 1e-12, `${name}(${x})`);
    });
  });

  test("step from x to x + 1 as they must", () => {
    // A&S 6.3.5 and 6.4.6.
    fc.assert(
      fc.property(fc.double({ min: 0.05, max: 500, noNaN: true }), (x) => {
        expectClose(digamma(x + 1) - digamma(x), 1 / x, 1e-10, "digamma");
        expectClose(trigamma(x), trigamma(x + 1) + 1 / x ** 2, 1e-12, "trigamma");
        expectClose(tetragamma(x), tetragamma(x + 1) - 2 / x ** 3, 1e-12, "tetragamma");
      }),
    );
  });
});

describe("inverseTrigamma", () => {
  test("agrees with limma::trigammaInverse", () => {
    const rows = [
      ...r.inverseTrigamma,
      ...limma.trigammaInverse.x.map((y, i) => ({ y, x: limma.trigammaInverse.y[i]! })),
    ];
    for (const { y, x } of rows) expectClose(inverseTrigamma(y), x, 1e-12, `y = ${y}`);
  });

  test("undoes trigamma", () => {
    fc.assert(
      fc.property(fc.double({ min: 0.001, max: 1e5, noNaN: true }), (x) => {
        // Smyth's rule stops Newton's steps at a relative step of 1e-8, which leaves an error of its square.
        expectClose(inverseTrigamma(trigamma(x)), x, 1e-10, `x = ${x}`);
      }),
    );
  });

  test("falls as its argument rises", () => {
    expect(inverseTrigamma(0.3)).toBeGreaterThan(inverseTrigamma(0.31));
  });
});
