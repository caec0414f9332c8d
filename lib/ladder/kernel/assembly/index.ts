// The ladder's inner loops, compiled to WebAssembly: both poles side by side in one register. What they compute, and why,
// is told in the files of ../.. that call them; units are those of ../kernel.ts.

export { setSlotCount } from './memory';
export { faultyUnit, mount } from './mount';
export { setLimits, setRack, staysCool } from './rack';
export { currentShift, setState, solveAgain, solveCurrents, updateLoopResistance } from './currents';
export { hotSpotAt, setAlike, updateContacts, updateEdgeHeat, updateOwnSpreading } from './contacts';
export { assembleLoss } from './films';
export { setFrame } from './frame';
export { beginAt, forgetStart, solveStart } from './start';
export { repeatStages, sweep } from './sweep';
export { store } from './storage';
export { beginLooks, lookAround } from './looks';
export { countStates, goOn, keepStates, layWeights, lookAtAll, rateStates, setRules } from './states';
export { forgetLastSweep, hasLastSweep, joint, lookAt } from './search';
