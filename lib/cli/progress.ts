import cliProgress from 'cli-progress';

export interface Progress {
  update(done: number, planned: number): void;
  stop(): void;
}

/** A progress bar with rate and time left on standard error; silent where that is no terminal. */
export function progressBar(silent: boolean): Progress {
  if (silent || !process.stderr.isTTY) return { update: () => {}, stop: () => {} };
  const bar = new cliProgress.SingleBar({
    format: 'scenarios [{bar}] {value}/{total}  {rate}/s  {eta_formatted} left',
    stream: process.stderr,
    hideCursor: true,
    clearOnComplete: true,
  });
  let begun = 0;
  let before = 0;
  return {
    update(done, planned) {
      if (begun === 0) {
        begun = Date.now();
        before = done;
        bar.start(planned, done, { rate: '-' });
        return;
      }
      const seconds = (Date.now() - begun) / 1e3;
      bar.update(done, { rate: seconds > 0 ? Math.round((done - before) / seconds) : '-' });
    },
    stop: () => bar.stop(),
  };
}
