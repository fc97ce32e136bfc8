import { readFileSync } from "node:fs";
import path from "node:path";
import { parse } from "csv-parse/sync";
import { type Browser, chromium } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { findBrowser } from "../support/browser.ts";
import { makeFolder, makeLog, put, runCli } from "../support/run-cli.ts";

/* Caption tracks as a browser's own track element reads them. Skipped where there is no Chromium. */
const executable = findBrowser();

interface ShownCue {
  readonly startTime: number;
  readonly endTime: number;
  /** What a viewer reads. */
  readonly text: string;
  /** Elements that the markup of the cue makes; plain text makes none. */
  readonly elements: number;
}

describe.skipIf(executable === null)("a caption track in a browser", () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await chromium.launch({ executablePath: executable as string, args: ["--no-sandbox"] });
  }, 120_000);
  afterAll(() => browser?.close());

  async function cuesOf(vtt: string): Promise<ShownCue[]> {
    const page = await browser.newPage();
    try {
      // Given as a text, since this project's types know no browser.
      return await page.evaluate(`(async () => {
        const track = document.createElement("track");
        track.kind = "captions";
        track.src = URL.createObjectURL(new Blob([${JSON.stringify(vtt)}], { type: "text/vtt" }));
        const video = document.createElement("video");
        video.append(track);
        document.body.append(video);
        const loaded = new Promise((resolve, reject) => {
          track.onload = resolve;
          track.onerror = () => reject(new Error("the track was refused"));
        });
        track.track.mode = "hidden";
        await loaded;
        return Array.from(track.track.cues, (cue) => {
          const shown = cue.getCueAsHTML();
          const { startTime, endTime } = cue;
          return { startTime, endTime, text: shown.textContent, elements: shown.querySelectorAll("*").length };
        });
      })()`);
    } finally {
      await page.close();
    }
  }

  test("has the moments and the figures of the numbers that go with it", async () => {
    const log = "demo-data/ninth-lantern/quiet-35w/pass-1.csv.gz";
    const cues = await cuesOf(runCli(["captions", log]).stdout);
    const rows = parse(runCli(["captions", log, "--format", "csv"]).stdout, { columns: true }) as {
      readonly atS: string;
      readonly avgFps: string;
    }[];
    expect(cues.length).toBeGreaterThan(100);
    expect(cues).toHaveLength(rows.length);
    for (const [i, { startTime, endTime, text }] of cues.entries()) {
      const { atS, avgFps } = rows[i] ?? { atS: "", avgFps: "" };
      expect(startTime).toBeCloseTo(Number(atS), 3);
      expect(endTime).toBeGreaterThan(startTime);
      if (avgFps !== "") expect(text).toContain(`average FPS ${Number(avgFps).toFixed(0)}`);
    }
  });

  test("shows a hostile title as the text that it is", async () => {
    const folder = makeFolder();
    const title = "<b>bold</b> <c.red>&amp; --> 00:00:00.000 --> 99:00:00.000";
    put(folder, "saltworks/stock/pass-1.csv", makeLog(1, 100));
    put(folder, "session.yaml", `configs:\n  stock: { title: ${JSON.stringify(title)} }\n`);
    const file = path.join(folder, "track.vtt");
    const log = path.join(folder, "saltworks/stock/pass-1.csv");
    expect(runCli(["captions", log, "--names", "-o", file]).status).toBe(0);
    const cues = await cuesOf(readFileSync(file, "utf8"));
    expect(cues.length).toBeGreaterThan(20);
    for (const { text, elements } of cues) {
      expect(text.split("\n")[0]).toBe(title);
      expect(text.split("\n")).toHaveLength(4);
      expect(elements).toBe(0);
    }
  });
});
