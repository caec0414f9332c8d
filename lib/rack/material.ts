import type { Material } from './model.js';

const HANDBOOK = 'thermal conductivity and specific heat: handbook values quoted from memory';

/** 100 % IACS annealed copper, 58 MS/m. */
const copperIacs100: Material = {
  id: 'copper-iacs-100',
  resistivity20: 1.724138e-8,
  temperatureCoefficient: 0.00393,
  thermalConductivity: 391,
  density: 8890,
  specificHeat: 385,
  source: `IEC 60028 (58 MS/m at 20 °C, 0.00393 /K, 8890 kg/m³); ${HANDBOOK}`,
};

/**
 * Busbar copper of 56 MS/m. The temperature coefficient of copper is proportional to its conductivity
 * (Dellinger 1911, Bulletin of the Bureau of Standards 7, quoted from memory): 0.00393 · 56/58.
 */
const copper56: Material = {
  id: 'copper-56',
  resistivity20: 1 / 56e6,
  temperatureCoefficient: (0.00393 * 56) / 58,
  thermalConductivity: 385,
  density: 8890,
  specificHeat: 385,
  source: 'DIN 43671 (56 MS/m at 20 °C); temperature coefficient in proportion to the conductivity from IEC 60028; '
    + `density as IEC 60028; ${HANDBOOK}`,
};

/** Aluminium of 61 % IACS. */
const aluminium61: Material = {
  id: 'aluminium-61',
  resistivity20: 2.826e-8,
  temperatureCoefficient: 0.00403,
  thermalConductivity: 222,
  density: 2700,
  specificHeat: 900,
  source: 'handbook values for 61 % IACS aluminium; density and specific heat quoted from memory',
};

/** Aluminium alloy 6101-T6, 55 % IACS. */
const aluminium6101T6: Material = {
  id: 'aluminium-6101-t6',
  resistivity20: 3.133e-8,
  temperatureCoefficient: 0.00363,
  thermalConductivity: 180,
  density: 2700,
  specificHeat: 900,
  source: 'handbook values for 6101-T6 aluminium, 55 % IACS; density and specific heat quoted from memory',
};

/**
 * Materials a rack file may name without defining them. SI as in {@link Material}; each names its source.
 * A rack file may define more of its own under other ids.
 */
export const BUILT_IN_MATERIALS: readonly Material[] = [copperIacs100, copper56, aluminium61, aluminium6101T6];
