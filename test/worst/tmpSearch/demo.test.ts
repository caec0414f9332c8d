import { appendFileSync } from 'node:fs';
import { it } from 'vitest';
import { loadStudy } from '../../../lib/rack/index.js';
import { searchWorst } from '../../../lib/worst/search.js';
import { toleranceRanges } from '../../../lib/worst/toleranceRanges.js';
it('demo', () => {
  for (const name of ['deep-bar-anywhere', 'plain-bar-even']) {
    const { study } = loadStudy(`data-demo/${name}.json`);
    for (const cover of [null, 98]) {
      const ranges = toleranceRanges(study, cover);
      const p: number[] = []; let s = 0, smax = 0, ev = 0; let ag = 0;
      for (let k = 0; k < Number(process.env.SEEDS ?? 20); k++) {
        const f = searchWorst(study, ranges, { seed: `m${k}`, starts: Number(process.env.STARTS ?? 3), kicks: Number(process.env.KICKS ?? 2) });
        p.push(f.rated.power); s += f.seconds; smax = Math.max(smax, f.seconds); ev += f.evaluations; ag += f.agreeing;
      }
      appendFileSync('/tmp/searchDemo.txt', `${process.env.STARTS}/${process.env.KICKS} ${name} ${cover} low ${Math.min(...p).toFixed(1)} high ${Math.max(...p).toFixed(1)} spread% ${(100 * (Math.max(...p) / Math.min(...p) - 1)).toFixed(4)} s/seed ${(s / 20).toFixed(2)} max ${smax.toFixed(1)} evals ${(ev / 20).toFixed(0)} agreeing ${ag}\n`);
    }
  }
}, 3000000);
