/** An installed Chromium, where there is one: for pictures and printed pages. */
import { existsSync } from 'node:fs';

/** Environment variable that names the browser's program. */
export const CHROMIUM_VARIABLE = 'SLOTCAST_CHROMIUM';

const USUAL_PLACES = [
  '/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome-stable', '/usr/bin/google-chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
];

/** There is no browser to make pictures and printed pages with. Everything else works without. */
export class NoBrowser extends Error {
  constructor(found: string) {
    super(`${found}: pictures (PNG) and PDF need an installed Chromium; install it, or name its program in `
      + CHROMIUM_VARIABLE);
    this.name = 'NoBrowser';
  }
}

/** The program of the browser; null where none is found. */
export function chromiumPath(): string | null {
  const named = process.env[CHROMIUM_VARIABLE];
  if (named !== undefined && named !== '') return existsSync(named) ? named : null;
  return USUAL_PLACES.find((path) => existsSync(path)) ?? null;
}
