/** Loaded before a program: writes the most memory that it took, in kB, to the file PEAK_FILE when it ends. */
import { writeFileSync } from 'node:fs';
import { isMainThread } from 'node:worker_threads';
import { peakKilobytes } from './peak.mjs';

if (isMainThread) process.on('exit', () => writeFileSync(process.env.PEAK_FILE, String(peakKilobytes())));
