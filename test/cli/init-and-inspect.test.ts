import { existsSync, readFileSync, renameSync } from "node:fs";
import path from "node:path";
import { describe, expect, test } from "vitest";
import { digestFolder, makeFolder, makeLog, put, putSession, runCli } from "../support/run-cli.ts";

const judge = (folder: string) => runCli(["judge", folder, "--format", "json"]);

describe("runjury init", () => {
  test("writes a session file that gives the same judgement as none", () => {
    const folder = makeFolder();
    putSession(folder);
    const before = JSON.parse(judge(folder).stdout);
    expect(runCli(["init", folder])).toMatchObject({ status: 0, stdout: "" });
    const text = readFileSync(path.join(folder, "session.yaml"), "utf8");
    expect(text).toContain("baseline: stock");
    expect(text).toContain("saltworks: {} # 6 passes");
    const { status, stdout, stderr } = judge(folder);
    expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
    const after = JSON.parse(stdout);
    expect({ ...after, made: null }).toEqual({ ...before, made: null });
  });

  test("never replaces a session file unless told to", () => {
    const folder = makeFolder();
    putSession(folder);
    put(folder, "session.yaml", "# mine\nbaseline: stock\n");
    const before = digestFolder(folder);
    const { status, stderr } = runCli(["init", folder]);
    expect(status).toBe(2);
    expect(stderr).toMatch(/session\.yaml: error: is there already; nothing was written\n {2}give --force/);
    expect(digestFolder(folder)).toBe(before);
    expect(runCli(["init", folder, "--force"]).status).toBe(0);
    expect(readFileSync(path.join(folder, "session.yaml"), "utf8")).not.toContain("# mine");
  });

  test("finds out how flat names are put together", () => {
    const folder = makeFolder();
    for (const config of ["stock", "no-threads"]) {
      for (const pass of [1, 2, 3]) {
        put(folder, `tide-runner_${config}_${pass}.csv`, makeLog(10 * config.length + pass, 100));
      }
    }
    expect(runCli(["init", folder]).status).toBe(0);
    expect(readFileSync(path.join(folder, "session.yaml"), "utf8")).toContain(
      'layout: "{game}_{config}_{pass}"',
    );
    const { status, stdout } = judge(folder);
    expect(status).toBe(0);
    expect(JSON.parse(stdout).session).toMatchObject({
      games: ["tide-runner"],
      configs: ["stock", "no-threads"],
    });
  });

  test("takes notes that lie beside captures for no captures", () => {
    const folder = makeFolder();
    for (const config of ["stock", "no-threads"]) {
      for (const pass of [1, 2, 3]) {
        put(folder, `tide-runner/${config}_${pass}.csv`, makeLog(10 * config.length + pass, 100));
      }
    }
    put(folder, "notes.txt", "the evening after the update\n");
    const { status, stderr } = runCli(["init", folder]);
    expect(status).toBe(0);
    expect(stderr).toMatch(/notes\.txt: error: no table was found/);
    const text = readFileSync(path.join(folder, "session.yaml"), "utf8");
    expect(text).toContain('layout: "{game}/{config}_{pass}"');
    expect(text).toContain("games:\n  tide-runner: {} # 6 passes\n\n");
    expect(stderr).toMatch(/session\.yaml was written: 6 passes of 1 game under 2 configs\n$/);
    const quiet = runCli(["init", folder, "--force", "--quiet"]);
    expect(quiet.stderr).toMatch(/^\S*notes\.txt: error: [^\n]+\n[^\n]+\nmore: [^\n]+\n$/);
  });

  test("asks for the baseline where no name tells it, and takes it from the option", () => {
    const folder = makeFolder();
    putSession(folder);
    for (const game of ["kestrel-cup", "saltworks"]) {
      renameSync(path.join(folder, game, "stock"), path.join(folder, game, "full-65w"));
    }
    const { status, stderr } = runCli(["init", folder]);
    expect(status).toBe(0);
    expect(stderr).toMatch(/configs\n {2}left to decide in it: which config is the baseline\n$/);
    const text = readFileSync(path.join(folder, "session.yaml"), "utf8");
    expect(text).toContain("# baseline: full-65w\n# baseline: parked\n");
    expect(judge(folder).status).toBe(2);
    expect(runCli(["init", folder, "--force", "--baseline", "full-65w"]).status).toBe(0);
    expect(judge(folder).status).toBe(0);
  });

  test("--quiet keeps what keeps a log from being read, as everywhere", () => {
    const folder = makeFolder();
    putSession(folder);
    put(folder, "saltworks/parked/notes.csv", "nothing here\nis a table\n");
    const { stderr, status } = runCli(["init", folder, "--quiet"]);
    expect(status).toBe(0);
    expect(stderr).toContain("notes.csv: error: ");
    expect(stderr).not.toContain("was written");
  });

  test("an empty folder gets no session file", () => {
    const folder = makeFolder();
    expect(runCli(["init", folder]).status).toBe(2);
    expect(existsSync(path.join(folder, "session.yaml"))).toBe(false);
  });
});

describe("runjury inspect", () => {
  test("says how a log was read and on what grounds", () => {
    const folder = makeFolder();
    put(folder, "pass-1.csv", makeLog(1, 100));
    const { status, stdout } = runCli(["inspect", path.join(folder, "pass-1.csv")]);
    expect(status).toBe(0);
    for (const words of [
      /encoding +utf-8/,
      /delimiter +comma/,
      /1\. frame: counter/,
      /2\. elapsed_s: clock, s/,
      /3\. frame_time_ms: frame time, ms/,
      /for: equals the steps of elapsed_s/,
      /frames +1,200/,
    ]) {
      expect(stdout).toMatch(words);
    }
  });

  test("says the same as data", () => {
    const folder = makeFolder();
    put(folder, "pass-1.csv", makeLog(1, 100));
    const { stdout } = runCli(["inspect", path.join(folder, "pass-1.csv"), "--format", "json"]);
    expect(JSON.parse(stdout)).toMatchObject({
      format: "runjury.inspection/1",
      text: { encoding: "utf-8", delimiter: ",", decimalSign: ".", headerLine: 1 },
      rows: { read: 1200, frames: 1200, notUsed: {} },
      figures: { frames: 1200 },
      problems: [],
    });
  });

  test("shows the flags of the log, in words and as data with what the reader said", () => {
    const folder = makeFolder();
    const [head, ...rows] = makeLog(1, 100).trimEnd().split("\n");
    const log = [head, ...rows.slice(0, 600), ...rows].join("\n");
    put(folder, "pass-1.csv", `${log}\n`);
    const { stdout } = runCli(["inspect", path.join(folder, "pass-1.csv")]);
    expect(stdout).toMatch(/Flags\n- bad: the log was restarted: it holds 2 stretches of time\n/);
    const { flags, problems } = JSON.parse(
      runCli(["inspect", path.join(folder, "pass-1.csv"), "--format", "json"]).stdout,
    );
    expect(flags[0]).toEqual({
      code: "restarted",
      severity: "bad",
      text: "the log was restarted: it holds 2 stretches of time",
    });
    expect(problems).toMatchObject([
      { code: "log-restarted", severity: "warning", segments: [{ frames: 600 }, { frames: 1200 }] },
    ]);
    expect(problems[0].todo).toMatch(/segment: 2/);
  });

  test("shows the sensor log beside it, and what the lows mean", () => {
    const folder = makeFolder();
    put(folder, "pass-1.csv", makeLog(1, 100));
    const sensors = Array.from({ length: 13 }, (_, s) => `${s},54.0,${s < 6 ? 4000 : 4400},4200`);
    put(folder, "pass-1.Sensors.csv", `elapsed_s,cpu power,core 0 MHz,core 1 MHz\n${sensors.join("\n")}\n`);
    const { stdout } = runCli(["inspect", path.join(folder, "pass-1.csv"), "--lows", "tail-average"]);
    expect(stdout).toMatch(/Sensor log .*pass-1\.Sensors\.csv\n/);
    expect(stdout).toMatch(/joined +by the time that both count/);
    expect(stdout).toMatch(
      /2\. cpu power: CPU power, W\n +for: its name states the part and the quantity, and no unit/,
    );
    expect(stdout).toMatch(
      /3\. core 0 MHz: CPU clock, MHz\n +for: no column for the whole: the mean of 2 cores/,
    );
    expect(stdout).toMatch(/lows are +frames in the slowest 1% and 0\.1%/);
  });

  test("sensors under another name are asked about, and are told how to be named", () => {
    const folder = makeFolder();
    const sensors = Array.from({ length: 60 }, (_, i) => `${i / 2},54.${i % 10}`);
    put(folder, "pass-1_sensors.csv", `elapsed_s,cpu power [W]\n${sensors.join("\n")}\n`);
    const { status, stderr } = runCli(["inspect", path.join(folder, "pass-1_sensors.csv")]);
    expect(status).toBe(2);
    expect(stderr).toMatch(
      /if it holds sensors, name it after the log that it belongs to, such as pass-1\.sensors\.csv/,
    );
  });

  test("lines before the table stand apart from their label", () => {
    const folder = makeFolder();
    put(folder, "pass-1.csv", `Scene: harbour\n\n${makeLog(1, 100)}`);
    const { stdout } = runCli(["inspect", path.join(folder, "pass-1.csv")]);
    expect(stdout).toContain("before the table Scene: harbour\n");
  });

  test("a log that cannot be read ends with 2, and shows what was seen", () => {
    const folder = makeFolder();
    put(folder, "pass-1.csv", `frame,frame_time_ms\n${"1,fast\n".repeat(30)}`);
    const { status, stdout, stderr } = runCli(["inspect", path.join(folder, "pass-1.csv")]);
    expect(status).toBe(2);
    expect(stderr).toMatch(/error: /);
    expect(stdout).toMatch(/frame_time_ms/);
  });

  test("a folder: which logs were read otherwise than most", () => {
    const folder = makeFolder();
    putSession(folder);
    put(folder, "saltworks/stock/pass-4.csv", makeLog(77, 120).replaceAll(",", ";"));
    const { status, stdout } = runCli(["inspect", folder]);
    expect(status).toBe(0);
    expect(stdout).toMatch(/1 otherwise:/);
    expect(stdout).toMatch(/delimiter ";"/);
    expect(stdout).toMatch(/saltworks\/stock\/pass-4\.csv/);
  });

  test("a folder of which no log can be read ends with 2, and says that none was", () => {
    const folder = makeFolder();
    put(folder, "saltworks/stock/pass-1.csv", "");
    const { status, stdout } = runCli(["inspect", folder]);
    expect(status).toBe(2);
    expect(stdout).toBe(`None of 1 log could be read:\n  - ${folder}/saltworks/stock/pass-1.csv\n`);
  });

  test.for([
    { written: "pass-1.csv", there: "pass-1.csv.gz" },
    { written: "pass-1.csv.gz", there: "pass-1.csv" },
  ])("where $there lies, $written reminds of it", ({ written, there }) => {
    const folder = makeFolder();
    put(folder, there, "any");
    const { status, stderr } = runCli(["inspect", written], { cwd: folder });
    expect(status).toBe(2);
    expect(stderr).toContain(`${written}: error: there is no such log\n  did you mean "${there}"?\n`);
  });

  test("a missing log ends with 2", () => {
    expect(runCli(["inspect", "/no/such/log.csv"])).toMatchObject({
      status: 2,
      stderr: expect.stringMatching(/log\.csv: error: there is no such log/),
    });
  });
});

describe("runjury schema", () => {
  test("prints the JSON Schema of session.yaml", () => {
    const { status, stdout } = runCli(["schema", "session"]);
    expect(status).toBe(0);
    expect(JSON.parse(stdout)).toMatchObject({ $id: "urn:runjury:schema:session:1", type: "object" });
    expect(runCli(["schema"]).stdout).toBe(stdout);
  });

  test("an unknown name is refused with the names there are", () => {
    expect(runCli(["schema", "sessions"])).toMatchObject({
      status: 2,
      stderr: expect.stringMatching(/session/),
    });
  });
});
