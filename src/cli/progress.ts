import type { Hooks } from "../index.ts";

export interface ProgressLine {
  readonly hooks: Hooks;
  stop(): void;
}

/** A progress line on a terminal; nothing at all in a pipe or when told to be quiet. */
export async function progressLine(stream: NodeJS.WriteStream, isQuiet: boolean): Promise<ProgressLine> {
  if (isQuiet || stream.isTTY !== true) return { hooks: {}, stop: () => undefined };
  const { Presets, SingleBar } = (await import("cli-progress")).default;
  const bar = new SingleBar(
    {
      stream,
      format: "reading logs {value}/{total} {bar} {eta_formatted} left",
      barsize: 20,
      clearOnComplete: true,
      // Whoever listens for Ctrl-C takes it away from the program: nothing is hidden that would have to be shown again.
      hideCursor: false,
      gracefulExit: false,
    },
    Presets.legacy,
  );
  let isRunning = false;
  return {
    hooks: {
      onProgress: ({ done, total }) => {
        if (isRunning) {
          bar.update(done);
        } else {
          isRunning = true;
          bar.start(total, done);
        }
      },
    },
    stop: () => {
      if (isRunning) bar.stop();
      isRunning = false;
    },
  };
}
