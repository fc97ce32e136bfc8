import { appendFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { beforeEach, describe, expect, test } from "vitest";
import { type CheckOptions, checkScript, findFindings } from "../../src/pipeline/gate.ts";
import { judgeFolder } from "../../src/pipeline/judge-folder.ts";
import { putPipe } from "../support/put-pipe.ts";
import { refusalOf } from "../support/refusal-of.ts";
import { makeFolder, makeLog, put } from "../support/run-cli.ts";

let folder: string;
let scripts: string;

/** Parked is 10% slower than stock. */
beforeEach(() => {
  folder = makeFolder();
  scripts = makeFolder();
  let seed = 1;
  for (const [config, fps] of [
    ["stock", 100],
    ["parked", 90],
  ] as const)
    for (const pass of [1, 2, 3])
      put(folder, `saltworks/${config}/pass-${pass}.csv`, makeLog(seed++, fps, 400));
});

const slower = "{ game: saltworks, config: parked, metric: average FPS, is: lower }";
const faster = "{ game: saltworks, config: parked, metric: average FPS, is: higher }";
const markdown = (...claims: readonly string[]): string =>
  claims.map((claim) => `Parked matters here. <!-- claim: ${claim} -->\n`).join("\n");
const yaml = `- say: Parked matters here.\n  game: saltworks\n  config: parked\n  metric: average FPS\n  is: lower\n`;

function script(name: string, text: string | Uint8Array): string {
  put(scripts, name, text);
  return path.join(scripts, name);
}

const outcomes = async (...args: Parameters<typeof checkScript>) =>
  (await checkScript(...args)).check.claims.map(({ outcome }) => outcome);

describe("a script", () => {
  test("holds or fails by its claims", async () => {
    const file = script("video.md", markdown(slower, faster));
    const { check, problems } = await checkScript(file, folder);
    expect(check.claims.map(({ outcome, line }) => [outcome, line])).toEqual([
      ["holds", 1],
      ["fails", 3],
    ]);
    expect(check.claims[0]?.file).toBe(file);
    expect(check.settings).toEqual({ strict: false, requireClaims: false });
    expect(check.holds).toBe(false);
    // One claim says the opposite of the other.
    expect(problems.map(({ code }) => code)).toEqual(["claim-contradicts"]);
  });

  test.for<{ name: string; format?: "markdown" | "yaml"; text: string }>([
    { name: "a.md", text: markdown(slower) },
    { name: "claims.yaml", text: yaml },
    { name: "claims.YML", text: yaml },
    { name: "claims.yaml.md", text: markdown(slower) },
    { name: "clyaml", text: markdown(slower) },
    { name: "claims.txt", format: "yaml", text: yaml },
    { name: "odd.yaml", format: "markdown", text: markdown(slower) },
  ])("is read by its name, or as it is told: $name", async ({ name, format, text }) => {
    const options: CheckOptions = format === undefined ? {} : { scriptFormat: format };
    expect(await outcomes(script(name, text), folder, options)).toEqual(["holds"]);
  });

  test("may come as bytes, whole or in pieces, under a name", async () => {
    const bytes = new TextEncoder().encode(markdown(faster));
    expect(await outcomes({ file: "-", bytes }, folder)).toEqual(["fails"]);
    async function* pieces() {
      yield bytes.subarray(0, 30);
      yield bytes.subarray(30);
    }
    const { check } = await checkScript({ file: "piped.md", bytes: pieces() }, folder);
    expect(check.claims.map(({ outcome, file }) => [outcome, file])).toEqual([["fails", "piped.md"]]);
    const listed = { file: "claims.yaml", bytes: new TextEncoder().encode(yaml) };
    expect(await outcomes(listed, folder)).toEqual(["holds"]);
  });

  test("may be a pipe", async () => {
    const file = path.join(scripts, "piped.md");
    putPipe(file, markdown(faster));
    expect(await outcomes(file, folder)).toEqual(["fails"]);
  });

  test("without a claim is told of, and only that one", async () => {
    const file = script("plain.md", "Nothing is said.\n");
    expect((await checkScript(file, folder)).problems).toEqual([
      { code: "script-without-claims", severity: "warning", at: { file } },
    ]);
    const bytes = new TextEncoder().encode("Nothing is said.\n");
    expect((await checkScript({ file: "stdin", bytes }, folder)).problems).toMatchObject([
      { code: "script-without-claims", at: { file: "stdin" } },
    ]);
  });

  test("has the problems of its claims and of the folder told together", async () => {
    put(folder, "saltworks/stock/pass-9.csv", "");
    const wrong = slower.replace("saltworks", "saltwork");
    const { check, problems } = await checkScript(script("a.md", markdown(wrong, slower, faster)), folder);
    expect(check.counts).toEqual({ found: 3, hold: 1, fail: 1, error: 1 });
    const codes = problems.map(({ code }) => code);
    expect(codes[0]).toBe("log-empty");
    expect(codes.slice(1)).toEqual(
      [...check.claims, check].flatMap((own) => own.problems.map(({ code }) => code)),
    );
    expect(check.claims[0]?.problems.length).toBe(1);
    expect(check.problems.length).toBe(1);
  });

  test("passes on strictness and the wish for claims", async () => {
    const file = script("a.md", `${markdown(slower)}\nIt runs at 90 FPS.\n`);
    expect((await checkScript(file, folder)).check.holds).toBe(true);
    const { check } = await checkScript(file, folder, { requireClaims: true, strict: true });
    expect(check.settings).toEqual({ strict: true, requireClaims: true });
    expect(check.holds).toBe(false);
  });

  test.for([
    { code: "script-is-folder", at: () => scripts },
    { code: "script-missing", at: () => path.join(scripts, "none.md") },
    { code: "script-empty", at: () => script("empty.md", " \n") },
    { code: "script-not-utf8", at: () => script("latin.md", Uint8Array.of(0x41, 0xe9, 0x42)) },
    { code: "yaml-broken", at: () => script("broken.yaml", "- say: [") },
  ])("that cannot be read is refused: $code", async ({ code, at }) => {
    const file = at();
    const problems = await refusalOf(() => checkScript(file, folder));
    expect(problems.map((problem) => [problem.code, problem.at.file])).toEqual([[code, file]]);
  });
});

describe("what a script is held against", () => {
  test("must be there", async () => {
    const file = path.join(folder, "none.json");
    expect(await refusalOf(() => checkScript(script("a.md", markdown(slower)), file))).toEqual([
      { code: "judgement-missing", severity: "error", at: { file } },
    ]);
  });

  test("may be judged by options, and against any baseline, where it is a folder", async () => {
    const reverse = "{ game: saltworks, config: stock, against: parked, metric: average FPS, is: higher }";
    const third = slower.replace("parked,", "parked, against: third,");
    for (const pass of [1, 2, 3])
      put(folder, `saltworks/third/pass-${pass}.csv`, makeLog(30 + pass, 120, 400));
    const file = script("a.md", markdown(slower, reverse, third));
    expect(await outcomes(file, folder)).toEqual(["holds", "holds", "holds"]);
    // Without "against" it is the baseline, which a config is not compared with itself.
    const [own] = (await checkScript(file, folder, { baseline: "parked" })).check.claims;
    expect(own?.outcome).toBe("error");
    const progress: number[] = [];
    await checkScript(file, folder, {}, { onProgress: ({ done }) => progress.push(done) });
    expect(progress.at(-1)).toBe(9);
  });

  describe("a saved judgement", () => {
    let saved: string;

    beforeEach(async () => {
      const { judgement } = await judgeFolder(folder);
      saved = path.join(scripts, "judgement.json");
      writeFileSync(saved, JSON.stringify(judgement));
    });

    test("needs no captures, and says so where another baseline would", async () => {
      for (const pass of [1, 2, 3])
        put(folder, `saltworks/third/pass-${pass}.csv`, makeLog(30 + pass, 120, 400));
      writeFileSync(saved, JSON.stringify((await judgeFolder(folder)).judgement));
      const third = slower.replace("parked,", "parked, against: third,");
      const { check, problems } = await checkScript(script("a.md", markdown(slower, third)), saved);
      expect(check.claims.map(({ outcome }) => outcome)).toEqual(["holds", "error"]);
      expect(problems).toEqual(check.claims[1]?.problems);
      expect(problems.length).toBe(1);
    });

    test("is told of where its captures have changed since, and where they are gone", async () => {
      const file = script("a.md", markdown(slower));
      expect((await checkScript(file, saved)).problems).toEqual([]);
      appendFileSync(path.join(folder, "saltworks/stock/pass-1.csv"), "401,4.1,10\n");
      const { check, problems } = await checkScript(file, saved);
      expect(problems).toEqual([
        {
          code: "judgement-stale",
          severity: "warning",
          at: { file: saved },
          changed: [path.join(folder, "saltworks/stock/pass-1.csv")],
          missing: [],
          added: [],
        },
      ]);
      expect(check.holds).toBe(true);
      expect((await checkScript(file, saved, { strict: true })).check.holds).toBe(false);
    });

    test("may be a pipe", async () => {
      const file = path.join(scripts, "piped.json");
      putPipe(file, JSON.stringify((await judgeFolder(folder)).judgement));
      expect(await outcomes(script("a.md", markdown(slower)), file)).toEqual(["holds"]);
    });

    test("that does not say what it was made from is told of", async () => {
      const { made: _made, ...rest } = (await judgeFolder(folder)).judgement;
      writeFileSync(saved, JSON.stringify(rest));
      expect((await checkScript(script("a.md", markdown(slower)), saved)).problems).toEqual([
        { code: "judgement-origin-unknown", severity: "warning", at: { file: saved } },
      ]);
    });

    test.for<{ options: CheckOptions; names: string[] }>([
      { options: { sessionFile: "s.yaml" }, names: ["--session"] },
      { options: { baseline: "stock" }, names: ["--baseline"] },
      { options: { lows: "percentile" }, names: ["--lows"] },
      { options: { mattersPct: 3, confidencePct: 95 }, names: ["--matters", "--confidence"] },
      { options: { keepAll: false }, names: ["--keep-all"] },
    ])("has been judged, so that $names say nothing", async ({ options, names }) => {
      const file = script("a.md", markdown(slower));
      expect(await refusalOf(() => checkScript(file, saved, options))).toEqual(
        names.map((option) => ({ code: "judgement-fixed", severity: "error", at: { file: saved }, option })),
      );
    });

    test("takes options that judge nothing", async () => {
      const options: CheckOptions = { strict: true, threads: 1, cacheFolder: null };
      expect(await outcomes(script("a.md", markdown(slower)), saved, options)).toEqual(["holds"]);
    });

    test("that is none is refused by its name", async () => {
      writeFileSync(saved, "{}");
      const problems = await refusalOf(() => checkScript(script("a.md", markdown(slower)), saved));
      expect(problems.map(({ at }) => at.file)).toEqual([saved]);
    });
  });
});

test("findings are those of the judgement, with what was noticed on the way", async () => {
  put(folder, "saltworks/stock/pass-9.csv", "");
  const progress: number[] = [];
  const { findings, problems } = await findFindings(
    folder,
    { mattersPct: 2 },
    { onProgress: ({ done }) => progress.push(done) },
  );
  expect(problems.map(({ code }) => code)).toEqual(["log-empty"]);
  expect(findings.judgement.session.mattersPct).toBe(2);
  expect(progress.at(-1)).toBe(7);
  const { findings: usual } = await findFindings(folder);
  expect(usual.judgement.session.mattersPct).toBe(3);
  expect(await outcomes(script("a.md", markdown(slower)), folder)).toEqual(["holds"]);
});
