/**
 * A process of its own that runs a study of the deep bar in all states, and says how long that took and how much
 * memory.
 *
 *   node studyProcess.mjs SCENARIOS WORKERS
 */
import { slotcast } from './library.mjs';
import { peakKilobytes } from './peak.mjs';
import { demoStudy } from './workloads.mjs';

const [scenarios, workers] = process.argv.slice(2).map(Number);
const { seconds } = await slotcast.runStudy(demoStudy('data-demo/deep-bar-anywhere.json', scenarios), { workers });
console.log(JSON.stringify({ seconds, peakMb: peakKilobytes() / 1024 }));
