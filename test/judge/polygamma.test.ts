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

  // mpmath 1.3.0, psi(n, x) at 40 digits, rounded to the nearest double. At 12 every term of the series still counts.
  test.for([
    { x: 12, psi: [2.442661679975812, 0.08690187287176838, -0.007547205368998912] },
    { x: 11.999, psi: [2.442574774329119, 0.08690942073224082, -0.007548515632704711] },
    { x: 13, psi: [2.5259950133091453, 0.07995742842732395, -0.006389797961591504] },
    { x: 20, psi: [2.970523992242149, 0.05127082293520312, -0.0026281224023146548] },
    { x: 3.5, psi: [1.103156640645243, 0.3303577561002349, -0.1082040516417274] },
    { x: 0.1, psi: [-10.423754940411076, 101.43329915079275, -2001.8614573783436] },
  ])("are right to the last digit or two at $x (mpmath)", ({ x, psi }) => {
    expectClose(digamma(x), psi[0]!, 5e-16, "digamma");
    expectClose(trigamma(x), psi[1]!, 5e-16, "trigamma");
    expectClose(tetragamma(x), psi[2]!, 8e-16, "tetragamma");
  });

  test.for([0, -1.5, Number.NaN])("refuse %s", (x) => {
    for (const f of [digamma, trigamma, tetragamma, inverseTrigamma]) expect(() => f(x)).toThrow(RangeError);
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

  test("is the first term of the series beyond the limits that limma's trigammaInverse sets, 1e7 and 1e-6", () => {
    // limma 3.54.1, trigammaInverse: x > 1e7 gives 1/sqrt(x), x < 1e-6 gives 1/x; the bounds themselves are solved for.
    expect(inverseTrigamma(1.001e7)).toBe(1 / Math.sqrt(1.001e7));
    expect(inverseTrigamma(0.999e-6)).toBe(1 / 0.999e-6);
    // trigamma(x) = 1/x + 1/(2 x^2) + ... and 1/x^2 + pi^2/6 + ... (A&S 6.4.12, 6.4.6) give the next terms.
    expectClose(inverseTrigamma(1e-6), 1e6 + 0.5, 1e-12);
    expectClose(inverseTrigamma(1e7), 1 / Math.sqrt(1e7 - Math.PI ** 2 / 6), 1e-10);
  });

  test("falls as its argument rises", () => {
    expect(inverseTrigamma(0.3)).toBeGreaterThan(inverseTrigamma(0.31));
  });
});
