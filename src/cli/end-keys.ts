/** Ctrl-C and Ctrl-D as a terminal sends them when it does not act on them. */
const endKeys: ReadonlySet<string> = new Set(["q", "Q", "\x03", "\x04"]);

/**
 * Calls back when the user wants an end: with q or Ctrl-C on a terminal, or by a signal.
 * @param hasKeys false leaves the keyboard alone
 * @returns gives the keyboard back
 */
export function onEndWanted(hasKeys: boolean, end: () => void): () => void {
  const signals = ["SIGINT", "SIGTERM", "SIGHUP"] as const;
  for (const signal of signals) process.on(signal, end);
  const { stdin } = process;
  const press = (data: Buffer): void => {
    if (Array.from(data.toString("latin1")).some((key) => endKeys.has(key))) end();
  };
  const readsKeys = hasKeys && stdin.isTTY === true;
  if (readsKeys) {
    stdin.setRawMode(true);
    stdin.on("data", press);
  }
  return () => {
    for (const signal of signals) process.off(signal, end);
    if (!readsKeys) return;
    stdin.off("data", press);
    stdin.setRawMode(false);
    stdin.pause();
  };
}
