/** Exit codes of the command line. */
export const EXIT = {
  /** Done. */
  ok: 0,
  /** A defect of the program, or something the system refused (disk, permissions). */
  failure: 1,
  /** The input cannot be used; nothing was written. */
  badInput: 2,
  /** Stopped by a signal; finished batches are kept and the same command goes on from there. */
  stopped: 3,
} as const;
