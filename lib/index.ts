/**
 * slotcast: what a rack's DC busbar carries, over everything that may be mounted in it.
 */
export * from './calibrate/index.js';
export * from './draw/index.js';
export * from './figure/index.js';
export * from './ladder/index.js';
export * from './notebook/index.js';
export * from './rack/index.js';
export * from './report/index.js';
export * from './statistics/index.js';
export * from './study/index.js';
export * from './worst/index.js';
export * from './label/index.js';
