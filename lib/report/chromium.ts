/** An installed Chromium, where there is one: for pictures and printed pages. */
import { existsSync } from 'node:fs';
import type { Browser } from 'playwright-core';

/** Environment variable that names the browser's program. */
export const CHROMIUM_VARIABLE = 'SLOTCAST_CHROMIUM';

const USUAL_PLACES = [
  '/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome-stable', '/usr/bin/google-chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
];

const ARGUMENTS = [
  '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update',
  '--disable-sync',
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

/**
 * Starts the browser without a window.
 * @throws NoBrowser where none is installed or it does not start
 */
export async function launchChromium(): Promise<Browser> {
  const executablePath = chromiumPath();
  if (executablePath === null) throw new NoBrowser('no Chromium found');
  // Loaded when asked for: most runs make no picture.
  const { chromium } = await import('playwright-core');
  // A browser refuses to sandbox itself for the superuser.
  const args = process.getuid?.() === 0 ? [...ARGUMENTS, '--no-sandbox'] : ARGUMENTS;
  try {
    return await chromium.launch({
      executablePath, args, handleSIGINT: false, handleSIGTERM: false, handleSIGHUP: false,
    });
  } catch (error) {
    const [first] = (error instanceof Error ? error.message : String(error)).split('\n');
    throw new NoBrowser(`${executablePath} does not start (${first})`);
  }
}
