import type { Command } from "commander";

/** A command line, and what it does in a few words. */
type Example = readonly [line: string, does: string];

/** Examples by command; "" is the program itself. The tests run each of them. */
const examples: Readonly<Record<string, readonly Example[]>> = {
  "": [
    ["runjury captures --baseline stock", "judge a folder: short for runjury judge"],
    ["runjury init captures", "write a session.yaml for it, to be filled in"],
    ["runjury explain one-boot", "what a flag, caution or problem means"],
    ["runjury explain method", "how a judgement is made"],
  ],
  judge: [
    ["runjury judge captures", "the verdicts of a session, worst news first"],
    ["runjury judge captures --baseline stock --matters 2%", "another baseline, another margin"],
    ["runjury judge captures --only saltworks --details", "one game, concluded from all of them"],
    ["runjury judge captures --format json --output judgement.json", "to check scripts against later"],
  ],
  passes: [
    ["runjury passes captures", "every pass with its figures and flags"],
    ["runjury passes captures --lows tail-average --format csv --output passes.csv", "for a spreadsheet"],
  ],
  check: [
    ["runjury check script.md captures", "hold the script's claims against the captures"],
    ["runjury check script.md judgement.json --strict --require-claims", "as a gate before each commit"],
  ],
  findings: [["runjury findings captures --output findings.md", "sentences to start a script from"]],
  plan: [
    ["runjury plan captures", "from a pilot or an old session: passes needed, what they show, how long"],
    ['runjury plan --noise "1% low 2%" --games 6 --configs 3 --hours 4', "the best plan for four hours"],
    [
      "runjury plan captures --hours 4 --sheet --format markdown --output sheet.md",
      "a checklist in random order, with file names",
    ],
  ],
  follow: [
    ["runjury follow captures", "a live board while you capture"],
    ["runjury follow captures --pass-time 3 --switch-time 5 --bell", "plan by what passes and reboots cost"],
    ["runjury follow captures --format jsonl", "a line of JSON for each event"],
  ],
  report: [["runjury report captures -o report.html", "one page with everything"]],
  chart: [
    ['runjury chart captures --metric "1% low" -o lows.png', "all games for one metric"],
    [
      "runjury chart captures --picture traces --only saltworks --dark -o traces.svg",
      "frame times of one game",
    ],
    ["runjury chart captures --size 3840x2160 --transparent -o overlay.png", "to lay over footage"],
  ],
  captions: [
    ["runjury captions pass-1.csv -o track.vtt", "running average and lows beside one piece of footage"],
    [
      "runjury captions a/pass-1.csv b/pass-1.csv --skip 2s --names -o tracks",
      "side by side, over one window",
    ],
    ["runjury captions a.csv b.csv --every 0.1 --format csv -o numbers.csv", "for motion graphics"],
  ],
  cap: [
    ["runjury cap captures", "the frame cap to try per game and config, and what caps that were tried did"],
    ["runjury cap captures --format markdown --output caps.md", "to keep beside the captures"],
  ],
  inspect: [
    ["runjury inspect captures/saltworks/stock/pass-1.csv", "how one log was read, and on what grounds"],
    ["runjury inspect captures", "which logs were read otherwise than most"],
  ],
  init: [
    ["runjury init captures", "write captures/session.yaml, unless there is one"],
    ["runjury init captures --baseline stock --force", "write it again"],
  ],
  schema: [["runjury schema session --output session.schema.json", "for editors that complete YAML"]],
  explain: [
    ["runjury explain", "all codes, a line each"],
    ["runjury explain unusually-slow one-boot", "what they mean and what to do"],
    ["runjury explain method --format markdown --output method.md", "for viewers who doubt the numbers"],
  ],
  completion: [
    ["runjury completion bash", 'in ~/.bashrc: eval "$(runjury completion bash)"'],
    ["runjury completion zsh", "in ~/.zshrc, after compinit: source <(runjury completion zsh)"],
    ["runjury completion fish", "into ~/.config/fish/completions/runjury.fish"],
  ],
};

/** Puts the examples of a command under its help. */
export function addExamples(command: Command): void {
  const own = examples[command.parent === null ? "" : command.name()];
  if (own === undefined) return;
  const lines = own.map(([line, does]) => `  ${line}\n      ${does}`);
  command.addHelpText("after", `\nExamples:\n${lines.join("\n")}`);
}
