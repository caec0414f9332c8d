/**
 * A process of its own that runs a study of the deep bar in all states, and says how long that took and how much
 * memory.
 *
 *   node studyProcess.mjs SCENARIOS WORKERS
 */
import { existsSync, readFileSync } from 'node:fs';
import { slotcast } from './library.mjs';
import { demoStudy } from './workloads.mjs';

const [scenarios, workers] = process.argv.slice(2).map(Number);
const { seconds } = await slotcast.runStudy(demoStudy('data-demo/deep-bar-anywhere.json', scenarios), { workers });
console.log(JSON.stringify({ seconds, peakMb: peakKilobytes() / 1024 }));

/** Where the system keeps it, the peak of this program alone: the other figure may still know the parent's. */
function peakKilobytes() {
  const status = existsSync('/proc/self/status') ? readFileSync('/proc/self/status', 'utf8') : '';
  return Number(/^VmHWM:\s+(\d+) kB$/m.exec(status)?.[1] ?? process.resourceUsage().maxRSS);
}
