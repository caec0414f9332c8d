export { changedRack, type ChangedRack, materialsKnown } from './copper/changedRack.js';
export * from './copper/copperModel.js';
export { loadCopper, type LoadedCopper, parseCopper } from './copper/loadCopper.js';
export { BASE_NAME } from './copper/readCopper.js';
export { describeProblem, describeWhere, InputError, type InputProblem } from './errors.js';
export { conductorMass, type ConductorMass, sectionArea, sectionAt } from './geometry.js';
export * from './heatRunModel.js';
export {
  type LoadedHeatRun, type LoadedStudy, loadCatalogue, loadHeatRun, loadLoadHistory, loadRack, loadStudy, type StudyInput,
} from './loader.js';
export type { LoadHistory, LoadStep } from './loadHistory.js';
export { BUILT_IN_MATERIALS } from './material.js';
export * from './model.js';
export {
  parseCatalogue, parseHeatRun, parseInventory, parseMeasurements, parseRack, parseStudy, type StudyContext,
} from './parse.js';
export type { HeatRunContext } from './readHeatRun.js';
export { jsonSchemas, type JsonSchemas } from './schema/jsonSchemas.js';
export * from './studyModel.js';
