import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { decideLabel } from '../../lib/label/index.js';
import { loadStudy } from '../../lib/rack/index.js';
import { explainFound } from '../../lib/report/index.js';
import { toleranceRanges } from '../../lib/worst/index.js';

const { study: whole, inputs } = loadStudy(join('data-demo', 'plain-bar-even.json'));
const study = { ...whole, scenarios: 300, stopping: null };
const decide = () => decideLabel(study, inputs, toleranceRanges(study, null), {
  seed: 'worst', starts: 1, gap: 0.05, carriedPercent: 95, now: () => performance.now(),
});

describe('a label decision', () => {
  it('is the same each time where no seconds are given', async () => {
    const [first, second] = [await decide(), await decide()];
    expect(second.document).toEqual(first.document);
    expect(first.document.search).toEqual({ seed: 'worst', starts: 1, seconds: null });
  });

  it('keeps the worst placement so that it can be rated again to the same power', async () => {
    const { document, worstFound } = await decide();
    const { replay } = explainFound(study, JSON.parse(JSON.stringify(document)));
    expect(replay.rated.power / worstFound.rated.power).toBeCloseTo(1, 9);
    expect(document.worstFound.ratedKw).toBeCloseTo(worstFound.rated.power / 1e3, 6);
    expect(replay.rated.limit).toBe(worstFound.rated.limit);
  });

  it('holds the floor below the worst found, and the label for every placement below the floor', async () => {
    const { document } = await decide();
    const { floor, worstFound, recommendations } = document;
    expect(floor?.floorKw).toBeLessThanOrEqual(worstFound.ratedKw);
    expect(recommendations[0].labelKw).toBeLessThanOrEqual(floor?.floorKw ?? 0);
    expect(recommendations[0].labelKw).toBeGreaterThan((floor?.floorKw ?? 0) - 1);
  });
});
