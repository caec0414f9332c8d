/** The built library: its public face, and the classes inside it whose parts are timed. */
import { createRequire } from 'node:module';

const require = createRequire(import.meta.url);

export const slotcast = require('slotcast');

export const internals = {
  ...require('../../dist/draw/unitRows.js'),
  ...require('../../dist/ladder/ladder.js'),
  ...require('../../dist/ladder/ratedPower.js'),
};

/** Parts of the report from which the page of results is made. */
export const pageParts = {
  ...require('../../dist/report/content.js'),
  ...require('../../dist/report/html.js'),
  ...require('../../dist/report/page.js'),
  ...require('../../dist/report/sections/caution.js'),
  ...require('../../dist/figure/frame.js'),
};
