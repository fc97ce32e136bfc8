import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { PNG } from "pngjs";
import { afterAll, describe, expect, test } from "vitest";
import { rulerOfFont } from "../../src/paint/fonts.ts";
import { drawChart } from "../../src/pipeline/pictures.ts";
import { parseSvg } from "../../src/report/chart/plot-library.ts";
import { lightTheme } from "../../src/report/chart/theme.ts";
import { makeFolder, makeLog, put, putSession, runCli } from "../support/run-cli.ts";

function chart(folder: string, args: readonly string[], env: NodeJS.ProcessEnv = {}) {
  return runCli(["chart", folder, "--quiet", ...args], {
    env: { PATH: process.env.PATH, NO_COLOR: "1", ...env },
  });
}

/** Two games, a baseline and two configs, one kind of games; neither power nor frames enough for a 0.1% low. */
const small = mkdtempSync(path.join(tmpdir(), "session-"));
afterAll(() => rmSync(small, { recursive: true, force: true }));
putSession(small);
for (const game of ["kestrel-cup", "saltworks"]) {
  for (const pass of [1, 2, 3])
    put(small, `${game}/threads-off/pass-${pass}.csv`, makeLog(game.length * 100 + pass, 100));
}
const racing = "{ tags: [racing] }";
put(small, "session.yaml", `baseline: stock\ngames: { saltworks: ${racing}, kestrel-cup: ${racing} }\n`);

test.for(["verdicts.jpg", "verdicts.GIF", "verdicts.pdf"])(
  "a picture is not written under the name %s",
  (name) => {
    const file = path.join(makeFolder(), name);
    const { status, stdout, stderr } = chart(small, ["-o", file]);
    expect(stderr).toMatch(/--output: .*will not do\n {2}expected a name that ends in \.svg or \.png/);
    expect([status, stdout, existsSync(file)]).toEqual([2, "", false]);
  },
);

describe("a picture as PNG", () => {
  test.for([
    ["1920x1080", 1920, 1080],
    ["3840x2160", 3840, 2160],
    ["1080x1920", 1080, 1920],
  ] as const)("has the size asked for: %s", ([size, width, height]) => {
    const file = path.join(makeFolder(), "verdicts.png");
    expect(chart(small, ["--size", size, "-o", file])).toEqual({ status: 0, stdout: "", stderr: "" });
    const png = PNG.sync.read(readFileSync(file));
    expect([png.width, png.height]).toEqual([width, height]);
  });

  test("is the same to the last byte on a machine without fonts", () => {
    const folder = makeFolder();
    const nothing = path.join(folder, "fonts.conf");
    writeFileSync(nothing, '<?xml version="1.0"?><fontconfig></fontconfig>');
    const [here, there] = [path.join(folder, "here.png"), path.join(folder, "there.png")];
    expect(chart(small, ["-o", here]).status).toBe(0);
    const bare = { FONTCONFIG_FILE: nothing, FONTCONFIG_PATH: folder, HOME: folder, XDG_DATA_DIRS: folder };
    expect(chart(small, ["-o", there], bare).status).toBe(0);
    expect(readFileSync(there).equals(readFileSync(here))).toBe(true);
  });

  test("draws its words: each title leaves ink of its own", () => {
    const folder = makeFolder();
    const read = (name: string, args: readonly string[]): Buffer => {
      expect(chart(small, ["-o", path.join(folder, name), ...args]).status).toBe(0);
      return PNG.sync.read(readFileSync(path.join(folder, name))).data;
    };
    const [average, low] = [read("a.png", []), read("b.png", ["--metric", "1% low"])];
    const titleInk = (data: Buffer): number => {
      let dark = 0;
      for (let y = 50; y < 120; y++)
        for (let x = 50; x < 900; x++) if ((data[4 * (1920 * y + x)] as number) < 90) dark++;
      return dark;
    };
    expect(titleInk(average)).toBeGreaterThan(5_000);
    expect(titleInk(average)).not.toBe(titleInk(low));
  });

  test("leaves the background out where it is asked to", () => {
    const file = path.join(makeFolder(), "verdicts.png");
    expect(chart(small, ["--transparent", "-o", file]).status).toBe(0);
    expect([...PNG.sync.read(readFileSync(file)).data.subarray(0, 4)]).toEqual([0, 0, 0, 0]);
  });
});

describe("a picture as SVG", () => {
  test("goes to standard output, describes itself, and says of each config which it is", () => {
    const { status, stdout } = chart("demo-data", []);
    expect(status).toBe(0);
    const svg = parseSvg(stdout);
    expect(svg.getAttribute("role")).toBe("img");
    const [about] = [...svg.querySelectorAll("desc")];
    expect(about?.textContent).toContain("Saltworks, Quiet 35 W: lower -8.7% (-10 to -7%).");
    const words = [...svg.querySelectorAll("text")].map(({ textContent }) => textContent);
    expect(words.filter((text) => text === "Quiet 35 W")).toHaveLength(6);
  });
});

describe("a config has one colour in all pictures, whatever is shown", () => {
  test.for(["verdicts", "passes", "traces", "tails", "tags"] as const)("%s", async (picture) => {
    const game = /verdicts|tags/.test(picture) ? [] : ["saltworks"];
    // parked is the first config beside the baseline, threads-off the second.
    const [parked, threadsOff] = lightTheme.configs as [string, string];
    const all = await drawChart(small, { picture, only: game });
    expect(all.picture).toContain(parked);
    expect(all.picture).toContain(threadsOff);
    const one = await drawChart(small, { picture, only: [...game, "threads-off"] });
    expect(one.picture).not.toContain(parked);
    expect(one.picture).toContain(threadsOff);
  });
});

const hostileTitles = [
  `<script>alert("1")</script>`,
  `"quotes" & 'apostrophes' <b>`,
  "\u05e9\u05dc\u05d5\u05dd \u202e reversed",
  "\u{1f3ae} pad \u{1f469}\u200d\u{1f680} crew",
  "Long ".repeat(24),
  "W".repeat(120),
];

describe("hostile names", () => {
  const folder = mkdtempSync(path.join(tmpdir(), "session-"));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  for (const game of hostileTitles.keys()) {
    for (const config of ["stock", "parked"]) {
      for (const pass of [1, 2])
        put(
          folder,
          `game-${game}/${config}/pass-${pass}.csv`,
          makeLog(game * 10 + pass + 100 * config.length, 100),
        );
    }
  }
  const games = hostileTitles.map(
    (title, game) =>
      `  game-${game}: { title: ${JSON.stringify(title)}, tags: [${JSON.stringify(title)}, all] }\n`,
  );
  put(folder, "session.yaml", `baseline: stock\ngames:\n${games.join("")}`);

  test.for([
    ["verdicts", null],
    ["tags", null],
    ["passes", 0],
    ["traces", 2],
    ["tails", 5],
  ] as const)("stay text and inside the picture: %s", async ([picture, game]) => {
    const only = game === null ? [] : [`game-${game}`];
    const svg = (await drawChart(folder, { picture, only })).picture as string;
    const root = parseSvg(svg);
    expect([...root.querySelectorAll("script, b")]).toEqual([]);
    expect(svg).not.toMatch(/[\u202a-\u202e\u2066-\u2069\u200d]/u);
    const texts = [...root.querySelectorAll("text")];
    expect(texts.length).toBeGreaterThan(5);
    for (const text of texts) {
      const own = (name: string): number =>
        Number(text.getAttribute(name) ?? text.parentNode?.getAttribute(name) ?? 400);
      const weight = own("font-weight") === 600 ? 600 : 400;
      for (const line of text.textContent.split("\n"))
        expect(rulerOfFont(line, own("font-size"), weight), line).toBeLessThan(1920 - 56);
    }
    const png = (await drawChart(folder, { picture, only, format: "png" })).picture as Uint8Array;
    expect(PNG.sync.read(Buffer.from(png)).width).toBe(1920);
  });
});

describe("what a picture lacks is said", () => {
  test.for([
    ["a picture of one game", ["--picture", "traces"], "--only <game>, one of kestrel-cup, saltworks"],
    ["no power", ["--picture", "power"], "the logs hold no CPU power"],
    ["no tags", ["--picture", "tags"], "no kind of games has two games or more"],
    ["no metric", ["--metric", "energy per frame"], "it needs CPU power"],
    ["too few frames", ["--metric", "0.1% low"], "no pass has enough frames for a 0.1% low"],
    ["a page too far", ["--page", "2"], "everything fits on one picture"],
  ] as const)("%s", ([, args, words]) => {
    const folder = makeFolder();
    putSession(folder);
    const { status, stdout, stderr } = chart(folder, ["--baseline", "stock", ...args]);
    expect(status).toBe(2);
    expect(stdout).toBe("");
    expect(stderr).toContain(words);
  });

  test("one pass per config has no interval, and the picture is drawn all the same", () => {
    const folder = makeFolder();
    put(folder, "saltworks/stock/pass-1.csv", makeLog(1, 120));
    put(folder, "saltworks/parked/pass-1.csv", makeLog(2, 110));
    const { status, stdout } = chart(folder, ["--baseline", "stock"]);
    expect(status).toBe(0);
    expect(stdout).toContain("noise unknown");
    expect(parseSvg(stdout).querySelectorAll(".estimate path")).toHaveLength(1);
    expect([...parseSvg(stdout).querySelectorAll(".interval line")]).toEqual([]);
  });

  test("more games than fit go on further pages, and none is lost", async () => {
    const folder = makeFolder();
    for (let game = 1; game <= 60; game++) {
      for (const config of ["stock", "parked"]) {
        for (const pass of [1, 2]) {
          put(
            folder,
            `game-${game}/${config}/pass-${pass}.csv`,
            makeLog(game * 10 + pass + (config === "stock" ? 0 : 5), 100, 300),
          );
        }
      }
    }
    const seen: string[] = [];
    for (let page = 1; page <= 5; page++) {
      const { status, stdout } = chart(folder, ["--baseline", "stock", "--page", String(page)]);
      expect(status).toBe(0);
      expect(stdout).toContain(" of 60");
      seen.push(
        ...[...parseSvg(stdout).querySelectorAll(".row-title text")].map(({ textContent }) => textContent),
      );
    }
    expect(new Set(seen).size).toBe(60);
    const { stderr } = runCli(["chart", folder, "--baseline", "stock", "--output", "/dev/null"]);
    expect(stderr).toContain(
      "note: not everything fits: this is picture 1 of 5\n  give --page 1 to --page 5",
    );
    await expect(drawChart(folder, { picture: "verdicts", baseline: "stock", page: 6 })).rejects.toThrow(
      "bad-option",
    );
  });
});
