import { describe, expect, test } from "vitest";
import { runCli } from "../support/run-cli.ts";

/*
 * Golden files hold the command, its exit code and what it printed. They show that the wording has not changed; that
 * the figures are right is shown by the tests of measure and judge and by test/demo.
 */
const commands: readonly { readonly name: string; readonly args: readonly string[] }[] = [
  { name: "judge-table", args: ["judge", "demo-data"] },
  { name: "judge-csv", args: ["judge", "demo-data", "--format", "csv"] },
  { name: "judge-markdown", args: ["judge", "demo-data", "--format", "markdown"] },
  { name: "judge-json-one-game", args: ["judge", "demo-data", "--format", "json", "--only", "saltworks"] },
  { name: "judge-keep-all", args: ["judge", "demo-data", "--keep-all", "--only", "moss-and-marrow"] },
  { name: "passes-table", args: ["passes", "demo-data"] },
  { name: "passes-csv", args: ["passes", "demo-data", "--format", "csv"] },
  { name: "passes-markdown", args: ["passes", "demo-data", "--format", "markdown", "--only", "kestrel-cup"] },
  { name: "cap-table", args: ["cap", "demo-data"] },
  { name: "check-script", args: ["check", "fixtures/scripts/demo-script.md", "demo-data"] },
  { name: "check-script-wrong", args: ["check", "fixtures/scripts/demo-script-wrong.md", "demo-data"] },
  {
    name: "check-script-wrong-csv",
    args: ["check", "fixtures/scripts/demo-script-wrong.md", "demo-data", "--format", "csv", "--quiet"],
  },
  {
    name: "check-script-wrong-markdown",
    args: ["check", "fixtures/scripts/demo-script-wrong.md", "demo-data", "--format", "markdown", "--quiet"],
  },
  {
    name: "check-claims-json",
    args: ["check", "fixtures/scripts/demo-claims.yaml", "demo-data", "--format", "json"],
  },
  { name: "findings-markdown", args: ["findings", "demo-data"] },
  { name: "findings-csv", args: ["findings", "demo-data", "--format", "csv"] },
  { name: "captions-help", args: ["captions", "--help"] },
  { name: "chart-help", args: ["chart", "--help"] },
  { name: "chart-needs-a-game", args: ["chart", "demo-data", "--picture", "tails", "--quiet"] },
  { name: "explain-method-markdown", args: ["explain", "method", "--format", "markdown"] },
  { name: "explain-codes", args: ["explain", "unusually-slow", "passes-disagree", "log-frame-time-unclear"] },
  { name: "check-help", args: ["check", "--help"] },
  { name: "findings-help", args: ["findings", "--help"] },
  { name: "follow-help", args: ["follow", "--help"] },
  { name: "plan-help", args: ["plan", "--help"] },
  { name: "plan-pilot", args: ["plan", "demo-data"] },
  { name: "plan-csv", args: ["plan", "demo-data", "--hours", "4", "--format", "csv"] },
  {
    name: "plan-stated-markdown",
    args: [
      ...["plan", "--noise", "1% low 1.8%", "--noise", "average FPS 0.6%", "--boot-noise", "1% low 1%"],
      ...["--games", "3", "--configs", "quiet-35w", "balanced-54w", "--baseline", "balanced-54w"],
      ...["--difference", "5%", "--format", "markdown"],
    ],
  },
  {
    name: "plan-sheet",
    args: ["plan", "demo-data", "--hours", "2.9", "--sheet", "--seed", "7"],
  },
  {
    name: "plan-sheet-markdown",
    args: [
      ...[
        "plan",
        "--noise",
        "1% low 1%",
        "--games",
        "saltworks",
        "kestrel-cup",
        "--configs",
        "stock",
        "parked",
      ],
      ...["--boots", "3", "--passes", "6", "--sheet", "--seed", "7", "--format", "markdown"],
    ],
  },
  {
    name: "plan-sheet-rounds-csv",
    args: [
      ...[
        "plan",
        "--noise",
        "avgFps 1%",
        "--games",
        "saltworks",
        "kestrel-cup",
        "--configs",
        "stock",
        "parked",
      ],
      ...["--switch-time", "0", "--passes", "2", "--sheet", "--seed", "7", "--format", "csv"],
    ],
  },
  {
    name: "plan-too-short",
    args: ["plan", "demo-data", "--hours", "1", "--quiet"],
  },
  { name: "report-help", args: ["report", "--help"] },
  { name: "help", args: ["--help"] },
  { name: "judge-help", args: ["judge", "--help"] },
  { name: "passes-help", args: ["passes", "--help"] },
];

describe("what the program prints is unchanged", () => {
  test.for(commands)("$name", async ({ name, args }) => {
    const { status, stdout, stderr } = runCli(args);
    const text = [
      `$ runjury ${args.join(" ")}`,
      `exit code ${status}`,
      "-- stdout",
      stdout,
      "-- stderr",
      stderr,
    ];
    await expect(text.join("\n")).toMatchFileSnapshot(`../golden/${name}.txt`);
  });
});
