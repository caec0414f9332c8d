import { beforeAll, describe, expect, it } from 'vitest';
import { elevationWords, PALETTE, rackElevation } from '../../lib/figure/index.js';
import type { Replay } from '../../lib/study/index.js';
import { type StudiedRack, studiedRack } from './studiedRack.js';

let deep: StudiedRack;
let plain: StudiedRack;
beforeAll(async () => {
  deep = await studiedRack('deep-bar-anywhere');
  plain = await studiedRack('plain-bar-even');
});

/** Upper edge of the outline drawn for a unit, px. */
function unitTop(svg: string, hint: string): number {
  const group = svg.split('<g>').find((part) => part.includes(hint));
  const y = group?.match(/<rect x="[\d.]+" y="([\d.]+)"/)?.[1];
  if (y === undefined) throw new Error(`no unit with the hint "${hint}"`);
  return Number(y);
}

describe('the front view of a rack', () => {
  it('shows every unit where it stands, slot 1 at the bottom', () => {
    const { worst, rack } = deep;
    const svg = rackElevation(worst, rack.slotCount, 'w');
    const tops = worst.scenario.units.map(({ bottomSlot, heightSlots }) =>
      ({ bottomSlot, heightSlots, top: unitTop(svg, `slot ${bottomSlot}, ${heightSlots} slot`) }));
    expect(svg.split('<g>')).toHaveLength(worst.scenario.units.length + 1);
    const [first, ...others] = tops;
    for (const { bottomSlot, heightSlots, top } of others) {
      const slots = bottomSlot + heightSlots - first.bottomSlot - first.heightSlots;
      expect(first.top - top).toBeCloseTo(slots * 12, 1);
    }
  });

  it('tells power shelves, battery shelves and loads apart by pattern, shape and words as well as by colour', () => {
    const svg = rackElevation(plain.worst, plain.rack.slotCount, 'w');
    const units = svg.split('<g>').slice(1);
    for (const unit of units) {
      const isPowerShelf = unit.includes('power shelf');
      const isBattery = unit.includes('battery shelf');
      expect(unit.includes('url(#w-hatch)')).toBe(isPowerShelf);
      expect(unit.includes('url(#w-dots)')).toBe(isBattery);
      expect(unit.includes(' rx="')).toBe(isBattery);
      if (!isPowerShelf && !isBattery) expect(unit).toMatch(/\d kW/);
    }
    expect(svg).toContain('battery shelf');
    expect(svg).toContain('power shelf');
  });

  it('writes the temperature of the hotter pole beside the rack, and marks the slot that binds', () => {
    const { worst, rack } = deep;
    const svg = rackElevation(worst, rack.slotCount, 'w');
    const shown = worst.solutions[0];
    if (shown.status !== 'solved') throw new Error(shown.status);
    const at = worst.rated.slot - 1;
    const celsius = Math.max(shown.supplyHottest[at], shown.returnHottest[at]) - 273.15;
    expect(svg).toMatch(new RegExp(`font-weight="700">${celsius.toFixed(1)}<`));
    expect(svg).toContain('the limit binds here');
  });

  it('says which source is out of service and which stands idle', () => {
    const one = plain.worst.scenario.units.find(({ kind }) => kind === 'power-shelf');
    const replay = plain.worst.solutions.find(({ state }) =>
      state.rule === 'one-source-out' && state.outSlot === one?.contactSlot);
    if (replay === undefined) throw new Error('no state with that source out');
    const { rated } = plain.worst;
    const shown = { ...plain.worst, rated: { ...rated, state: replay.state }, solutions: [replay] };
    const svg = rackElevation(shown, plain.rack.slotCount, 'w');
    const shelves = plain.worst.scenario.units.filter(({ kind }) => kind === 'power-shelf').length;
    expect(svg.match(/power shelf, out</g)).toHaveLength(1);
    expect(svg.match(/power shelf [\d,]+ A</g)).toHaveLength(shelves - 1);
    const batteries = plain.worst.scenario.units.filter(({ kind }) => kind === 'battery-shelf').length;
    expect(svg.match(/battery shelf, idle</g)).toHaveLength(batteries);
  });

  it('keeps to the drawing without temperatures where the state has no solution', () => {
    const { worst } = deep;
    const none = { status: 'voltage-collapse', state: worst.rated.state, power: 1e5 } as const;
    const failed: Replay = { ...worst, solutions: [none] };
    const svg = rackElevation(failed, 44, 'w');
    expect(svg).not.toContain('°C');
    expect(svg).toContain('power shelf');
  });

  it('writes shares of the load instead of kW where the rated power is 0', () => {
    const { worst } = deep;
    const svg = rackElevation({ ...worst, rated: { ...worst.rated, power: 0 } }, 44, 'w');
    expect(svg).toContain('% of load');
    expect(svg).not.toMatch(/\d kW/);
  });

  it('shows names with markup, quotes, emoji and other directions of writing as text', () => {
    const equipment = `</text><script>alert("x")</script>&'🔌\u202eברזל\u0000`;
    const units = deep.worst.scenario.units.map((unit) => ({ ...unit, equipment }));
    const svg = rackElevation({ ...deep.worst, scenario: { ...deep.worst.scenario, units } }, 44, 'w');
    expect(svg).not.toContain('<script');
    expect(svg).toContain('&lt;script&gt;alert(&quot;x&quot;)&lt;/script&gt;&amp;&#39;🔌');
    expect(svg).not.toContain('\u0000');
  });

  it('has a description, a height that fits a page, and no number that is not finite, from 1 to 500 slots', () => {
    for (const slotCount of [44, 120, 500]) {
      const svg = rackElevation({ ...deep.worst, solutions: [] }, slotCount, 'w', 'Worst');
      const height = Number(svg.match(/ height="([\d.]+)"/)?.[1]);
      expect(height).toBeGreaterThan(200);
      expect(height).toBeLessThan(960);
      expect(svg).toContain(elevationWords(deep.worst, 'Worst'));
      expect(svg).not.toMatch(/NaN|Infinity/);
    }
    expect(elevationWords(deep.worst))
      .toMatch(/^Scenario \d+ from the front: \d+ power shelves, \d+ loads; what binds is /);
  });

  it('uses no colour but those of the palette', () => {
    const svg = rackElevation({ ...deep.worst, solutions: [] }, 44, 'w');
    const known = JSON.stringify(PALETTE);
    for (const colour of svg.match(/#[0-9a-f]{6}\b/g) ?? []) expect(known).toContain(colour);
  });
});
