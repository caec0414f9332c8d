export { type CellWriter, kernelWriter, NotInNotebook, type Representations } from './cellWriter.js';
export { columnTitle } from './columnTitle.js';
export { copperFrame, copperLoadFrame } from './copperFrames.js';
export {
  type AnyFrameLibrary, classFrame, type FrameColumns, frameOf, labelFrame, limitFrame, percentileFrame, ruleFrame, slotFrame,
  worstFrame,
} from './frames.js';
export { historyFrame } from './historyFrame.js';
export { type DisplayOptions, notebookDisplay, type NotebookDisplay } from './notebookDisplay.js';
export { type FrameLibrary, scenarioFrame } from './scenarioFrame.js';
export { correlationFrame, shiftFrame, tightenFrame } from './sensitivityFrames.js';
export { tableHtml, type TableLike, type TableOptions } from './tableHtml.js';
