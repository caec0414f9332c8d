export { type FrameLibrary, scenarioFrame } from './scenarioFrame.js';
