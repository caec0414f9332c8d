import { existsSync, readFileSync } from 'node:fs';

/**
 * Largest resident memory of this program so far. Where the system keeps it, the peak of this program alone: the other
 * figure may still know the parent's.
 */
export function peakKilobytes() {
  const status = existsSync('/proc/self/status') ? readFileSync('/proc/self/status', 'utf8') : '';
  return Number(/^VmHWM:\s+(\d+) kB$/m.exec(status)?.[1] ?? process.resourceUsage().maxRSS);
}
