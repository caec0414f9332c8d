// The ladder's inner loops, compiled to WebAssembly: both poles side by side in one register. What they compute, and why,
// is told in the files of ../.. that call them; units are those of ../kernel.ts.

export * from './memory';
export { setArea } from './area';
export { solveEqual, totalCurrent, updateLoopResistance } from './currents';
export { beginContacts, hotSpotAt, updateContacts, updateEdgeHeat, updateEdgeHeatOfLoad } from './contacts';
export { assembleLoss, missingSlot } from './films';
export {
  beginAt, freeze, linearise, moveTemperatures, relativeNewtonStep, setAir, solveFrozen,
} from './temperatures';
export { limit, limitNode, limitPole, linearisedStep } from './limits';
