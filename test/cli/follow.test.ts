import { execFileSync, spawnSync } from "node:child_process";
import { appendFileSync, copyFileSync, renameSync, rmSync, utimesSync, writeFileSync } from "node:fs";
import path from "node:path";
import { gzipSync } from "node:zlib";
import { describe, expect, onTestFinished, test, vi } from "vitest";
import { FollowTerminal } from "../support/follow-terminal.ts";
import { makeFolder, makeLog, put } from "../support/run-cli.ts";

/** Two games, two configs, three passes each, written long ago. */
function putOldSession(folder: string): void {
  let seed = 1;
  for (const game of ["kestrel-cup", "saltworks"]) {
    for (const config of ["parked", "stock"]) {
      for (const pass of [1, 2, 3]) {
        const name = `${game}/${config}/pass-${pass}.csv`;
        put(folder, name, makeLog(seed++, 150));
        utimesSync(path.join(folder, name), 1_700_000_000, 1_700_000_000 + seed);
      }
    }
  }
}

/** Elapsed seconds and watts, ten times a second, for as long as a log of 1200 frames at 150 FPS. */
function makeSensorLog(): string {
  const rows = ["elapsed_s,cpu power [W]"];
  for (let i = 0; i <= 90; i++) rows.push(`${(i / 10).toFixed(1)},${i % 2 === 0 ? 34.5 : 35.5}`);
  return `${rows.join("\n")}\n`;
}

const hasTmux = spawnSync("tmux", ["-V"]).status === 0;

describe("following a session on a terminal", () => {
  test("tells of every pass in a line, however its file came to be", { timeout: 120_000 }, async () => {
    const folder = makeFolder();
    putOldSession(folder);
    const at = (name: string): string => path.join(folder, name);
    const terminal = new FollowTerminal(folder);
    await terminal.shows("following: 12 captures there");

    // Growing in pieces, the first of which end within a row.
    const log = makeLog(101, 150);
    writeFileSync(at("saltworks/parked/pass-4.csv"), log.slice(0, 5000));
    await terminal.shows(`Being written: ${at("saltworks/parked/pass-4.csv")}`);
    appendFileSync(at("saltworks/parked/pass-4.csv"), log.slice(5000, 20_000));
    appendFileSync(at("saltworks/parked/pass-4.csv"), log.slice(20_000));
    await terminal.shows("saltworks/parked/pass-4: good");

    // Written elsewhere and renamed into place.
    writeFileSync(at("kestrel-cup/stock/pass-4.part"), makeLog(102, 150));
    renameSync(at("kestrel-cup/stock/pass-4.part"), at("kestrel-cup/stock/pass-4.csv"));
    await terminal.shows("kestrel-cup/stock/pass-4: good");

    // Rewritten, and this time something slowed it.
    writeFileSync(at("kestrel-cup/stock/pass-4.csv"), makeLog(103, 110));
    await terminal.shows("kestrel-cup/stock/pass-4 (written again): repeat it");

    rmSync(at("kestrel-cup/stock/pass-4.csv"));
    await terminal.shows("kestrel-cup/stock/pass-4: deleted");

    // Packed, in two pieces.
    const packed = gzipSync(makeLog(106, 150));
    writeFileSync(at("saltworks/stock/pass-4.csv.gz"), packed.subarray(0, 3000));
    await terminal.shows(`Being written: ${at("saltworks/stock/pass-4.csv.gz")}`);
    appendFileSync(at("saltworks/stock/pass-4.csv.gz"), packed.subarray(3000));
    await terminal.shows("saltworks/stock/pass-4: good");

    // The sensor log comes after the capture.
    writeFileSync(at("saltworks/stock/pass-4.sensors.csv"), makeSensorLog());
    await terminal.shows("saltworks/stock/pass-4 (its sensor log has come): good");

    // Two at once, in a new folder.
    put(folder, ".aside/stock/pass-1.csv", makeLog(104, 90));
    put(folder, ".aside/parked/pass-1.csv", makeLog(105, 90));
    renameSync(at(".aside"), at("tide-runner"));
    await terminal.shows("tide-runner/parked/pass-1: good");
    await terminal.shows("tide-runner/stock/pass-1: good");

    // Not a log at all.
    writeFileSync(at("saltworks/stock/pass-5.csv"), new Uint8Array(4096).fill(0).fill(7, 1));
    await terminal.shows("pass-5.csv: repeat it");

    // A second copy of a capture, and a pass of two files.
    copyFileSync(at("tide-runner/stock/pass-1.csv"), at("tide-runner/stock/pass-2.csv"));
    await terminal.shows("tide-runner/stock/pass-2: repeat it");
    writeFileSync(at("tide-runner/stock/pass-1.csv.gz"), packed);
    await terminal.shows("pass-1.csv.gz: repeat it");

    const why = "launcher updated itself";
    put(folder, "session.yaml", `set-aside:\n  - { pass: kestrel-cup/stock/pass-1, why: ${why} }\n`);
    await terminal.shows("kestrel-cup/stock/pass-1, told before: repeat it");
    put(folder, "session.yaml", "set-aside: [\n");
    await terminal.shows("session file: cannot be used");

    terminal.press("q");
    expect(await terminal.ended()).toBe(0);
    const lines = (all: readonly string[]): string[] =>
      all.map((line) => line.replaceAll(folder, "<folder>"));
    expect(lines(terminal.told)).toEqual([
      "following: 12 captures there",
      "saltworks/parked/pass-4: good: average FPS 150, 1% low 124",
      "kestrel-cup/stock/pass-4: good: average FPS 150, 1% low 126",
      "kestrel-cup/stock/pass-4 (written again): repeat it: slower than chance allows: " +
        "average FPS 27% and 1% low 27% below the cell's other passes (p below 0.001)",
      "kestrel-cup/stock/pass-4: deleted; it is no part of the session any more",
      "saltworks/stock/pass-4: good: average FPS 150, 1% low 125",
      "settled: saltworks/parked, average FPS: same +0.1% (-0.7 to +0.8%), " +
        "with as many passes as a narrow interval takes",
      "settled: saltworks/parked, 1% low: same 0.0% (-1.4 to +1.4%), " +
        "with as many passes as a narrow interval takes",
      "saltworks/stock/pass-4 (its sensor log has come): good: average FPS 150, 1% low 125, CPU power 35.0 W",
      "tide-runner/parked/pass-1: good: average FPS 89.4, 1% low 73.5",
      "tide-runner/stock/pass-1: good: average FPS 89.1, 1% low 74.7",
      "open again: saltworks/parked, average FPS: same +0.1% (-0.7 to +0.8%)",
      "open again: saltworks/parked, 1% low: same 0.0% (-1.4 to +1.4%)",
      "<folder>/saltworks/stock/pass-5.csv: repeat it: this is no text; it is left out",
      "tide-runner/stock/pass-2: repeat it: the same frames as tide-runner/stock/pass-1",
      "<folder>/tide-runner/stock/pass-1.csv.gz: repeat it: this pass is filed twice, " +
        "the other time as <folder>/tide-runner/stock/pass-1.csv; this file is left out",
      "session file: its changes are in use",
      "kestrel-cup/stock/pass-1, told before: repeat it: set aside by the session: launcher updated itself",
      "session file: cannot be used, the session stays as it was: " +
        "2:1: this is not YAML: Flow sequence in block collection must be sufficiently indented and end with a ]",
      "ended: 19 captures",
    ]);
    expect(lines(terminal.board)).toEqual([
      "0 of 6 cells complete",
      "Next: tide-runner/stock, pass 2 (too few there to tell anything)",
      "Left: about 45 passes until the intervals are narrow",
      "game         stock            parked",
      "kestrel-cup  2 of 10, 1 bad   3 of 10",
      "saltworks    4 of 10          4 of 10",
      "tide-runner  1 of 10, 1 bad   1 of 10",
      "so far: kestrel-cup/parked, average FPS: same -0.1% (-1.7 to +1.6%)",
      "so far: saltworks/parked, average FPS: same +0.1% (-0.9 to +1.1%)",
      "so far: saltworks/parked, 1% low: same 0.0% (-1.8 to +1.8%)",
    ]);
  });

  test.for([
    { how: "Ctrl-C", end: (terminal: FollowTerminal) => terminal.press("\x03") },
    { how: "q", end: (terminal: FollowTerminal) => terminal.press("q") },
  ])("$how ends it with the state so far, and gives the keyboard and the cursor back", async ({ end }) => {
    const folder = makeFolder();
    putOldSession(folder);
    const terminal = new FollowTerminal(folder);
    await terminal.shows("q ends");
    end(terminal);
    expect(await terminal.ended()).toBe(0);
    expect(terminal.screen.lines.slice(0, 4)).toEqual([
      "following: 12 captures there",
      "ended: 12 captures",
      "",
      "0 of 4 cells complete",
    ]);
    expect(terminal.screen.hasCursor).toBe(true);
  });

  test("rings the bell on a bad pass only where that was asked for", async () => {
    const folder = makeFolder();
    putOldSession(folder);
    const quiet = new FollowTerminal(folder);
    const ringing = new FollowTerminal(folder, "--bell");
    for (const terminal of [quiet, ringing]) await terminal.shows("q ends");
    put(folder, "saltworks/stock/pass-4.csv", makeLog(30, 150));
    put(folder, "saltworks/stock/pass-5.csv", makeLog(31, 100));
    for (const terminal of [quiet, ringing]) {
      await terminal.shows("saltworks/stock/pass-4: good");
      await terminal.shows("saltworks/stock/pass-5: repeat it");
      terminal.press("q");
      await terminal.ended();
    }
    expect(quiet.screen.bells).toBe(0);
    expect(ringing.screen.bells).toBe(1);
  });

  test("--plain draws no board, and colour goes where it is not wanted", async () => {
    const folder = makeFolder();
    putOldSession(folder);
    const plain = new FollowTerminal(folder, "--plain", "");
    await plain.shows("next: ");
    plain.press("q");
    expect(await plain.ended()).toBe(0);
    const coloured = new FollowTerminal(folder, "", "");
    await coloured.shows("q ends");
    coloured.press("q");
    await coloured.ended();
    expect(coloured.screen.hasColor).toBe(true);
    expect(plain.screen.lines.some((line) => line.includes("q ends"))).toBe(false);
  });

  test.runIf(hasTmux)("a terminal made narrower or wider shows no pieces of the old board", async () => {
    const folder = makeFolder();
    putOldSession(folder);
    // Neither the user's shell nor a locale that is not installed has anything to say here.
    const env = { PATH: process.env.PATH, SHELL: "/bin/sh", LC_ALL: "C" };
    const tmux = (...args: string[]): string =>
      execFileSync("tmux", ["-L", path.basename(folder), "-f", "/dev/null", ...args], {
        encoding: "utf8",
        env,
      });
    const program = `"${process.execPath}" "${path.resolve("bin/runjury.js")}" follow "${folder}" --no-cache`;
    tmux("new-session", "-d", "-x", "120", "-y", "30", `NO_COLOR=1 ${program}; tmux wait-for ended`);
    onTestFinished(() => void tmux("kill-server"));
    // What the terminal itself pushes out of view while it breaks lines anew is out of reach.
    const shown = (): string[] => tmux("capture-pane", "-p").trimEnd().split("\n");
    const board = (): string[] => shown().slice(shown().lastIndexOf(""));
    // A look may come while the board is only half drawn; what an old board leaves behind stays.
    const comesTo = (expected: () => void): Promise<void> =>
      vi.waitFor(expected, { timeout: 30_000, interval: 50 });
    const isOnce = (): void => expect(shown().filter((line) => line.startsWith("Next:"))).toHaveLength(1);
    await comesTo(() => expect(shown().at(-1)).toBe("q ends"));
    const wide = board();
    expect(wide).toContain("game         stock            parked");
    tmux("resize-window", "-x", "44", "-y", "30");
    await comesTo(() => {
      expect(shown().join("\n")).toContain("kestrel-cup/stock: 3 of");
      isOnce();
      expect(shown().every((line) => line.length <= 44)).toBe(true);
    });
    tmux("resize-window", "-x", "120", "-y", "30");
    await comesTo(() => {
      expect(board()).toEqual(wide);
      isOnce();
    });
    expect(tmux("capture-pane", "-p", "-S", "-")).toMatch(/^following: 12 captures there\n/);
  });
});
