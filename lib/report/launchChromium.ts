/** Starts an installed Chromium. Apart from chromium.ts, so that the package's declarations need no other package's. */
import type { Browser } from 'playwright-core';
import { chromiumPath, NoBrowser } from './chromium.js';

const ARGUMENTS = [
  '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update',
  '--disable-sync',
];

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
