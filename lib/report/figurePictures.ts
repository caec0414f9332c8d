import type { Browser, Page } from 'playwright-core';
import type { Figure } from '../figure/index.js';
import { launchChromium } from './launchChromium.js';

/** What the page offers once the plotting library is in it. */
interface Drawing {
  readonly Plotly: {
    newPlot(box: string, data: readonly object[], layout: object, config: object): Promise<unknown>;
  };
}

/** px, a page's measure. */
const WIDTH = 696;
/** Pixels of the picture per px: letters stay sharp, and a notebook with a dozen pictures stays small. */
const SCALE = 1.25;
const BOX = 'figure';

/** Makes PNG pictures of figures in one browser, one after the other. */
export class FigurePictures {
  private constructor(private readonly browser: Browser, private readonly page: Page) {}

  /** @throws NoBrowser where there is no browser */
  static async open(): Promise<FigurePictures> {
    const browser = await launchChromium();
    try {
      const context = await browser.newContext({
        offline: true, viewport: { width: WIDTH, height: 900 }, deviceScaleFactor: SCALE,
      });
      const page = await context.newPage();
      await page.setContent(`<!DOCTYPE html><body style="margin:0"><div id="${BOX}"></div></body>`);
      await page.addScriptTag({ path: require.resolve('plotly.js-dist-min/plotly.min.js') });
      return new FigurePictures(browser, page);
    } catch (error) {
      await browser.close();
      throw error;
    }
  }

  /** The figure as PNG, with its title. */
  async png({ data, layout }: Pick<Figure, 'data' | 'layout'>): Promise<Uint8Array> {
    await this.page.evaluate(async ([box, figure]) => {
      const { Plotly } = globalThis as unknown as Drawing;
      await Plotly.newPlot(box, figure.data, figure.layout, { displayModeBar: false });
    }, [BOX, { data: [...data], layout: { ...layout, autosize: false, width: WIDTH } }] as const);
    return await this.page.locator(`#${BOX}`).screenshot({ animations: 'disabled' });
  }

  async close(): Promise<void> {
    await this.browser.close();
  }
}
