/**
 * Spreading around the contacts at the front edge of both poles: what it needs to know of the bar, laid out for the kernel,
 * which finds voltages, heats and hot spots (kernel/assembly/contacts.ts); for the formulas see contactSpreading.ts.
 * Arrays are `[slot]`, or `[slot × pole]` with entry 2·slot + pole.
 */
import { type Rack, ZERO_CELSIUS } from '../rack/model.js';
import { ContactSpreading } from './contactSpreading.js';
import type { Kernel } from './kernel/kernel.js';
import type { PoleSegments } from './segments.js';

export class EdgeContacts {
  /** V between the poles at the patches above V between the means over the depth, `[slot]`. */
  readonly voltage: Float64Array;
  /** W made by spreading, `[slot × pole]`. */
  readonly heat: Float64Array;
  private readonly poles: readonly [ContactSpreading, ContactSpreading];

  constructor(rack: Rack, segments: readonly [PoleSegments, PoleSegments], private readonly kernel: Kernel) {
    const n = rack.slotCount;
    this.voltage = kernel.numbers('edgeVoltage');
    this.heat = kernel.numbers('spreadingHeat');
    this.poles = [new ContactSpreading(segments[0], rack.pitch), new ContactSpreading(segments[1], rack.pitch)];
    // Ω and Ω/K: sheet resistance is offset + slope·T; K/W: 1/(k·τ); of the nominal section.
    const sheetOffset = kernel.numbers('nominalSheetOffset');
    const sheetSlope = kernel.numbers('nominalSheetSlope');
    const sheetThermal = kernel.numbers('nominalSheetThermal');
    const depth = kernel.numbers('depth');
    const mutual = kernel.numbers('mutual');
    const feltAtMost = kernel.numbers('feltAtMost');
    const [supply, back] = this.poles;
    kernel.numbers('mutualOfEither', n * n).set(supply.mutual);
    kernel.call.setAlike(supply.mutual.every((felt, k) => felt === back.mutual[k]));
    const from = kernel.wholes('feltFrom');
    const to = kernel.wholes('feltTo');
    this.poles.forEach((pole, p) => {
      pole.mutual.forEach((felt, k) => {
        mutual[2 * k + p] = felt;
      });
      const { sectionAt } = segments[p];
      for (let i = 0; i < n; i++) {
        depth[2 * i + p] = pole.depth[i];
        feltAtMost[2 * i + p] = pole.feltAtMost[i];
        from[i] = p === 0 ? pole.from[i] : Math.min(from[i], pole.from[i]);
        to[i] = p === 0 ? pole.to[i] : Math.max(to[i], pole.to[i]);
        const { material, plates } = sectionAt[i];
        const thickness = plates.count * plates.thickness;
        const atZeroKelvin = 1 - material.temperatureCoefficient * (ZERO_CELSIUS + 20);
        sheetOffset[2 * i + p] = (material.resistivity20 * atZeroKelvin) / thickness;
        sheetSlope[2 * i + p] = (material.resistivity20 * material.temperatureCoefficient) / thickness;
        sheetThermal[2 * i + p] = 1 / (material.thermalConductivity * thickness);
      }
    });
  }

  /** K, front edge in the middle of a slot above the mean over the depth, not below 0, for the heats last updated. */
  hotSpotAt(entry: number): number {
    return this.kernel.call.hotSpotAt(entry);
  }
}
