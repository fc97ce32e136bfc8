import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";
import { type Browser, type BrowserContextOptions, chromium, type Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { writeReport } from "../../../src/pipeline/pictures.ts";
import { findBrowser, needsBrowser } from "../../support/browser.ts";
import { makeLog, put, putSession, runCli } from "../../support/run-cli.ts";

/*
 * The page as a browser shows it. Skipped where there is no Chromium, but never where RUNJURY_NEEDS_BROWSER is 1.
 */

const executable = findBrowser();
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

test.runIf(needsBrowser)("there is a browser to look with", () => {
  expect(executable).not.toBeNull();
});

describe.skipIf(executable === null)("the page of a session", () => {
  const folder = mkdtempSync(path.join(tmpdir(), "report-"));
  let browser: Browser;
  let demo: string;

  beforeAll(async () => {
    browser = await chromium.launch({ executablePath: executable as string, args: ["--no-sandbox"] });
    demo = await write("demo", "demo-data");
  }, 120_000);
  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  async function write(name: string, captures: string, options = {}): Promise<string> {
    const file = path.join(folder, `${name}.html`);
    writeFileSync(file, (await writeReport(captures, options)).page);
    return file;
  }

  /** Opens a page and notes everything that it says on the console or asks the network for. */
  async function open(
    file: string,
    options: BrowserContextOptions = {},
  ): Promise<{ page: Page; noticed: string[]; close: () => Promise<void> }> {
    const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, ...options });
    // The tests' own limit is the only one.
    context.setDefaultTimeout(0);
    const page = await context.newPage();
    const noticed: string[] = [];
    page.on("console", (message) => noticed.push(`${message.type()}: ${message.text()}`));
    page.on("pageerror", (error) => noticed.push(`error: ${error.message}`));
    page.on("dialog", async (dialog) => {
      noticed.push(`dialog: ${dialog.message()}`);
      await dialog.dismiss();
    });
    const own = pathToFileURL(file).href;
    page.on("request", (request) => {
      if (request.url() !== own && !request.url().startsWith("data:"))
        noticed.push(`asks for ${request.url()}`);
    });
    await page.goto(own);
    return { page, noticed, close: () => context.close() };
  }

  async function overflow(page: Page): Promise<number> {
    return page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth");
  }

  test.for([360, 768, 1440])(
    "says nothing on the console, asks for nothing, and fits at %i px",
    async (width) => {
      const { page, noticed, close } = await open(demo, { viewport: { width, height: 900 } });
      await page.evaluate("document.querySelectorAll('details').forEach((part) => { part.open = true; })");
      expect(await overflow(page)).toBeLessThanOrEqual(0);
      // What a chart shows is drawn: none has collapsed.
      const heights = await page
        .locator("figure > svg")
        .evaluateAll((all) => all.map((one) => one.clientHeight));
      expect(heights.length).toBeGreaterThan(30);
      expect(Math.min(...heights)).toBeGreaterThan(80);
      expect(noticed).toEqual([]);
      await close();
    },
  );

  test("no word of a chart is cut off by its edge", async () => {
    const { page, close } = await open(demo);
    const cut = await page.locator("figure > svg").evaluateAll((all) =>
      all.flatMap((svg) => {
        const box = svg.getBoundingClientRect();
        return [...svg.querySelectorAll("text")]
          .filter((text) => {
            const own = text.getBoundingClientRect();
            return own.left < box.left - 2 || own.right > box.right + 2 || own.bottom > box.bottom + 2;
          })
          .map((text) => text.textContent);
      }),
    );
    expect(cut).toEqual([]);
    await close();
  });

  test("tables sort by a click and by the keyboard, figures as figures, and say how they are sorted", async () => {
    const { page, close } = await open(demo);
    const table = page.locator("#games table.sorts");
    const head = table.locator("th", { hasText: "1% low" }).first();
    const values = (): Promise<number[]> =>
      table
        .locator("tbody tr")
        .evaluateAll((rows) => rows.map((row) => Number(row.querySelectorAll("td")[3]?.dataset.value)));
    await head.locator("button").click();
    expect(await head.getAttribute("aria-sort")).toBe("ascending");
    const up = await values();
    expect(up).toHaveLength(12);
    expect(up).toEqual([...up].sort((a, b) => a - b));
    await head.locator("button").focus();
    await page.keyboard.press("Enter");
    expect(await head.getAttribute("aria-sort")).toBe("descending");
    expect(await values()).toEqual([...up].reverse());
    await table.locator("th button", { hasText: "game" }).click();
    const names = await table.locator("tbody tr td:first-child").allTextContents();
    expect(names).toEqual([...names].sort((a, b) => a.localeCompare(b, "en")));
    expect(await head.getAttribute("aria-sort")).toBeNull();
    await close();
  });

  test("follows the reader's theme and switches", async () => {
    const paper = (page: Page): Promise<string> =>
      page.evaluate("getComputedStyle(document.body).backgroundColor");
    for (const [colorScheme, first, second] of [
      ["light", "rgb(251, 250, 246)", "rgb(20, 23, 27)"],
      ["dark", "rgb(20, 23, 27)", "rgb(251, 250, 246)"],
    ] as const) {
      const { page, close } = await open(demo, { colorScheme });
      expect(await paper(page)).toBe(first);
      await page.locator("#theme").click();
      expect(await paper(page)).toBe(second);
      // The charts go with it.
      const ink = await page.evaluate(
        "getComputedStyle(document.querySelector('figure svg .row-title')).fill",
      );
      expect(ink).toBe(second === "rgb(20, 23, 27)" ? "rgb(240, 238, 232)" : "rgb(28, 33, 38)");
      await page.locator("#theme").click();
      expect(await paper(page)).toBe(first);
      await close();
    }
  });

  test("carries and hands out the judgement that `judge --format json` prints", async () => {
    const printed: unknown = JSON.parse(runCli(["judge", "demo-data", "--format", "json"]).stdout);
    const { page, close } = await open(demo, { acceptDownloads: true });
    expect(JSON.parse((await page.locator("#judgement").textContent()) ?? "")).toEqual(printed);
    const [download] = await Promise.all([page.waitForEvent("download"), page.locator("#download").click()]);
    expect(download.suggestedFilename()).toBe("judgement.json");
    expect(JSON.parse(readFileSync(await download.path(), "utf8"))).toEqual(printed);
    await close();
  });

  test("calls games and configs by their titles where it answers", async () => {
    const { page, close } = await open(demo);
    const answered = await page.locator("#answer, #games, #power").allTextContents();
    expect(answered).toHaveLength(3);
    for (const text of answered) {
      expect(text).toContain("Quiet 35 W");
      expect(text).not.toMatch(/quiet-35w|full-65w|balanced-54w|ninth-lantern|saltworks/);
    }
    await close();
  });

  test.for(["light", "dark"] as const)(
    "axe finds nothing, with everything unfolded: %s",
    async (colorScheme) => {
      const { page, close } = await open(demo, { colorScheme });
      await page.evaluate("document.querySelectorAll('details').forEach((part) => { part.open = true; })");
      await page.evaluate(axe);
      const { violations, passes } = (await page.evaluate("axe.run()")) as {
        violations: { id: string; nodes: { html: string }[] }[];
        passes: unknown[];
      };
      expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(" ")}`)).toEqual(
        [],
      );
      expect(passes.length).toBeGreaterThan(20);
      await close();
    },
  );

  test("is read without scripts, and on paper", async () => {
    const { page, noticed, close } = await open(demo, { javaScriptEnabled: false, colorScheme: "dark" });
    expect(await page.locator("#answer").textContent()).toContain(
      "Quiet 35 W lowers the 1% low by about 22%",
    );
    expect(await page.locator(".controls").isVisible()).toBe(false);
    await page.emulateMedia({ media: "print" });
    expect(await page.locator("nav").isVisible()).toBe(false);
    expect((await page.pdf({ format: "A4" })).length).toBeGreaterThan(50_000);
    expect(noticed).toEqual([]);
    await close();
  });

  test("its policy stops scripts and requests that someone might smuggle in", async () => {
    const { page, noticed, close } = await open(demo);
    const refused: string[] = [];
    page.on("requestfailed", (request) => refused.push(`${request.failure()?.errorText}: ${request.url()}`));
    await page.evaluate(`
      const script = document.createElement("script");
      script.textContent = "window.smuggled = true";
      document.body.append(script);
      document.body.insertAdjacentHTML("beforeend", '<img src="https://example.org/x.png" onerror="document.title = 1">');
    `);
    expect(await page.evaluate("window.smuggled")).toBeUndefined();
    // The browser tells of what it refuses when it comes to it.
    await expect.poll(() => refused, { timeout: 30_000 }).toEqual(["csp: https://example.org/x.png"]);
    await expect.poll(() => noticed.join("\n"), { timeout: 30_000 }).toContain("Content Security Policy");
    await close();
  });

  const hostile = [
    `</script><script>alert(1)</script>`,
    `<img src=x onerror=alert(1)> "quotes" & 'more'`,
    "\u05e9\u05dc\u05d5\u05dd \u202e \u{1f3ae} \u{1f469}\u200d\u{1f680}",
    "W".repeat(120),
  ];
  test.for(hostile)("names stay text: %s", async (title) => {
    const captures = mkdtempSync(path.join(tmpdir(), "session-"));
    putSession(captures);
    const quoted = JSON.stringify(title);
    put(
      captures,
      "session.yaml",
      `title: ${quoted}\nbaseline: stock\ngames: { saltworks: { title: ${quoted}, tags: [${quoted}], scene: ${quoted} } }\nconfigs: { parked: { title: ${quoted} } }\nsystem: { cpu: ${quoted} }\nset-aside: [{ pass: saltworks/parked/pass-1, why: ${quoted} }]\n`,
    );
    const file = await write("hostile", captures);
    rmSync(captures, { recursive: true, force: true });
    const { page, noticed, close } = await open(file, { viewport: { width: 360, height: 800 } });
    await page.evaluate("document.querySelectorAll('details').forEach((part) => { part.open = true; })");
    expect(await overflow(page)).toBeLessThanOrEqual(0);
    expect(await page.locator("main img, main script, main b").count()).toBe(0);
    expect(noticed).toEqual([]);
    const carried = JSON.parse((await page.locator("#judgement").textContent()) ?? "") as {
      session: { title: string };
    };
    expect(carried.session.title).toBe(title);
    await close();
  });

  test("sixty games with one pass each are shown, though nothing can be told", async () => {
    const captures = mkdtempSync(path.join(tmpdir(), "session-"));
    for (let game = 1; game <= 60; game++) {
      put(captures, `game-${game}/stock/pass-1.csv`, makeLog(game, 100, 300));
      put(captures, `game-${game}/parked/pass-1.csv`, makeLog(game + 100, 100, 300));
    }
    const file = await write("sixty", captures, { baseline: "stock" });
    rmSync(captures, { recursive: true, force: true });
    const { page, noticed, close } = await open(file, { viewport: { width: 360, height: 800 } });
    expect(await page.locator("section.game").count()).toBe(60);
    expect(await overflow(page)).toBeLessThanOrEqual(0);
    expect(noticed).toEqual([]);
    await close();
  });
});
