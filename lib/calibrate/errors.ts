/** A heat run that cannot be fitted as asked. Nothing has been written. */
export class CalibrationError extends Error {
  /** What was found, as text. */
  readonly found: string;
  /** What is allowed and what to do. */
  readonly allowed: string;
  constructor(found: string, allowed: string) {
    super(`heat run: found ${found}; ${allowed}`);
    this.name = 'CalibrationError';
    this.found = found;
    this.allowed = allowed;
  }
}
