export { describeProblem, describeWhere, InputError, type InputProblem } from './errors.js';
export { conductorMass, type ConductorMass, sectionArea, sectionAt } from './geometry.js';
export * from './heatRunModel.js';
export { type LoadedStudy, loadCatalogue, type LoadedHeatRun, loadHeatRun, loadRack, loadStudy, type StudyInput } from './loader.js';
export { BUILT_IN_MATERIALS } from './material.js';
export * from './model.js';
export {
  parseCatalogue, parseHeatRun, parseInventory, parseMeasurements, parseRack, parseStudy, type StudyContext,
} from './parse.js';
export type { HeatRunContext } from './readHeatRun.js';
export { jsonSchemas, type JsonSchemas } from './schema/jsonSchemas.js';
export * from './studyModel.js';
