import { pathToFileURL } from 'node:url';
import { launchChromium } from './launchChromium.js';

/** A page on paper and its figures as pictures. */
export interface PrintedPage {
  readonly pdf: Uint8Array;
  /** PNG by the id of the figure, without `figure-`. */
  readonly pictures: ReadonlyMap<string, Uint8Array>;
}

/** px, a little more than the page's measure: figures get their full width. */
const VIEWPORT = { width: 760, height: 1000 };
const SCALE = 1.5;

/**
 * Opens a page that this library wrote, with the network off, and takes its figures and prints it on A4.
 * @throws NoBrowser where there is no browser
 */
export async function printPage(path: string): Promise<PrintedPage> {
  const browser = await launchChromium();
  try {
    const context = await browser.newContext({ offline: true, viewport: VIEWPORT, deviceScaleFactor: SCALE });
    const page = await context.newPage();
    await page.goto(pathToFileURL(path).href);
    await page.waitForSelector('html[data-drawn]', { state: 'attached', timeout: 60_000 });
    const pictures = new Map<string, Uint8Array>();
    for (const figure of await page.$$('figure[id^="figure-"]')) {
      const id = (await figure.getAttribute('id') ?? '').slice('figure-'.length);
      const drawing = await figure.$('.chart, svg.elevation');
      if (drawing !== null) pictures.set(id, await drawing.screenshot({ animations: 'disabled' }));
    }
    // On paper the figures are redrawn at the width of the page.
    await page.emulateMedia({ media: 'print' });
    const pdf = await page.pdf({ format: 'A4', preferCSSPageSize: true, printBackground: true, tagged: true, outline: true });
    return { pdf, pictures };
  } finally {
    await browser.close();
  }
}
