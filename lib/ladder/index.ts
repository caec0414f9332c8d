export { type AirProperties, airConductivity, airProperties, airViscosity, pressureAtAltitude } from './airProperties.js';
export { channelNusselt } from './channelPlates.js';
export { edgePotential, patchMean, patchMiddle, SPREADING_REACH } from './contactSpreading.js';
export { churchillChuNusselt } from './churchillChu.js';
export { flatPlateNusselt } from './flatPlate.js';
export { handbookFilmFactor } from './handbookFilm.js';
export { horizontalPlateNusselt } from './horizontalPlate.js';
export { HIGHEST_TEMPERATURE, type SolveStatus } from './ladder.js';
export { type Binding, LIMIT_NAMES, LIMIT_WORDS, type LimitName } from './limitCheck.js';
export {
  currentForRise, type LongBar, type LongBarBalance, NoSteadyStateError, resistancePerMetre, riseForCurrent,
} from './longBar.js';
export { describeState, NoFeedError, type OperatingState, operatingStates } from './operatingState.js';
export { type OverlapJoint, overlapJointResistance } from './overlapJoint.js';
export { radiatedHeat, STEFAN_BOLTZMANN } from './radiation.js';
export { type Balance, type LadderSolution, type NoSolution, RackModel, rateScenario, type UnitResult } from './rackModel.js';
export { type RatedPower, RatingError } from './ratedPower.js';
export { slenderBarFactor } from './slenderBar.js';
export type { Run } from './surface.js';
export { adiabaticCurrent, adiabaticFactor, adiabaticTemperature } from './transient/adiabatic.js';
export { heatCapacities } from './transient/heatCapacity.js';
export { type FollowedLoad, followLoad, type HistoryPoint } from './transient/followLoad.js';
export { NoRoomForPeak, type PeakQuestion, type RatedPeak, ratedPeak } from './transient/ratedPeak.js';
export { type Advance, TransientLadder } from './transient/transientLadder.js';
