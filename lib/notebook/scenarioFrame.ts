import { type ScenarioColumns, scenarioColumns, type StudyRun } from '../study/index.js';

/** What a data frame library must offer: danfo.js does (`import * as danfo from 'danfojs-node'`). */
export interface FrameLibrary<Frame> {
  readonly DataFrame: new (columns: ScenarioColumns) => Frame;
}

/**
 * The scenario table as a data frame, one row per rated scenario, units in the column names.
 *
 * The library is handed in rather than loaded here: danfo.js takes a second and 270 MB, which a study without frames
 * should not pay, and its DataFrame type then reaches the caller.
 *
 * @example
 * import * as danfo from 'danfojs-node';
 * const frame = scenarioFrame(danfo, run);
 * frame.groupby(['placementClass']).col(['ratedKw']).min().print();
 */
export function scenarioFrame<Frame>(library: FrameLibrary<Frame>, run: StudyRun): Frame {
  return new library.DataFrame(scenarioColumns(run));
}
