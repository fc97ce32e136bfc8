import { Help, type HelpConfiguration } from "commander";

/** Columns that a description needs beside its term. */
const narrowestBeside = 40;
const below = " ".repeat(6);

/** On a narrow terminal what a term means stands below it, as it does under the examples. */
export const helpLayout: HelpConfiguration = {
  minWidthToWrap: 24,
  formatItem(term, termWidth, description, helper) {
    const width = helper.helpWidth ?? 80;
    if (description === "" || width - termWidth - 4 >= narrowestBeside)
      return Help.prototype.formatItem.call(helper, term, termWidth, description, helper);
    const lines = helper.boxWrap(description, width - below.length).split("\n");
    return [`  ${term}`, ...lines.map((line) => below + line)].join("\n");
  },
};
