/**
 * The notebooks in a real JupyterLab in a real browser: every cell runs, every figure is drawn, no cell shows an error.
 * Needs Chromium and the environment of `npm run lab`; skipped with a message where one is missing.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium, type Locator, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { chromiumPath } from '../../lib/report/index.js';

const names = readdirSync('notebooks').filter((name) => name.endsWith('.ipynb'));
const isMissing = chromiumPath() === null || !existsSync('.venv/notebooks-requirements.txt');
if (isMissing) console.log('The JupyterLab tests are skipped: they need Chromium and what `npm run lab` installs.');

/** A copy: JupyterLab saves what it runs. The results folder is ignored, and modules resolve from it. */
const FOLDER = `results/try-notebooks-${process.pid}`;
const TOKEN = 'only-for-this-test';

describe.skipIf(isMissing)('in JupyterLab', () => {
  let server: ChildProcess;
  let browser: Browser;
  let port: number;
  let said = '';

  beforeAll(async () => {
    const { jupyterEnvironment, prepareJupyter, program } = await import(pathToFileURL('test/tools/jupyter.mjs').href);
    prepareJupyter();
    mkdirSync(FOLDER, { recursive: true });
    for (const name of names) copyFileSync(join('notebooks', name), join(FOLDER, name));
    port = await freePort();
    server = spawn(program('jupyter'), [
      'lab', '--no-browser', `--port=${port}`, `--ServerApp.root_dir=${resolve('.')}`, `--IdentityProvider.token=${TOKEN}`,
      '--allow-root', '--LabApp.news_url=None', '--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate',
    ], { env: {
        ...jupyterEnvironment(), SLOTCAST_STUDY: resolve('data-demo/deep-bar-anywhere.json'),
        SLOTCAST_COPPER: resolve('data-demo/deep-bar-copper.json'), SLOTCAST_LOAD: resolve('data-demo/pulses.json'),
      },
    });
    for (const stream of [server.stdout, server.stderr]) stream?.on('data', (text) => { said += text; });
    await answers(`http://localhost:${port}/api/status?token=${TOKEN}`, () => said);
    browser = await chromium.launch({ executablePath: chromiumPath() ?? '', args: ['--no-sandbox', '--disable-gpu'] });
  });

  afterAll(async () => {
    await browser?.close();
    server?.kill();
    rmSync(FOLDER, { recursive: true, force: true });
  });

  /** The notebook's page when all its cells have run and its figures are there; null where that does not come about. */
  async function runAll(name: string, figures: number, outside: string[]): Promise<Page | null> {
    const page = await browser.newPage({ viewport: { width: 1280, height: 16_000 } });
    page.on('request', (request) => {
      if (!/^(http|ws):\/\/localhost|^(data|blob):/.test(request.url())) outside.push(request.url());
    });
    await page.goto(`http://localhost:${port}/lab/tree/${FOLDER}/${name}?token=${TOKEN}&reset`);
    await page.waitForSelector('.jp-Notebook .jp-CodeCell');
    await page.waitForSelector('.jp-Notebook-ExecutionIndicator[data-status="idle"]', { state: 'attached' });
    await page.click('.lm-MenuBar-itemLabel:text-is("Edit")');
    await page.click('.lm-Menu-itemLabel:text-is("Clear Outputs of All Cells")');
    await page.locator('.jp-RenderedPlotly').first().waitFor({ state: 'detached' });
    await page.click('.lm-MenuBar-itemLabel:text-is("Run")');
    await page.click('.lm-Menu-itemLabel:text-is("Run All Cells")');
    // Cells far below are put into the page when they come into sight.
    for (let seconds = 0; seconds < 180; seconds++) {
      await page.waitForTimeout(1000);
      // The page asks which kernel to take where it opened before the server had named its kernels.
      if (await page.locator('.jp-Dialog:has-text("Select Kernel")').count() > 0) break;
      const running = await page.locator('.jp-InputPrompt:text-is("[*]:")').count();
      if (running === 0 && await page.locator('.jp-RenderedPlotly').count() >= figures) return page;
    }
    await page.close();
    return null;
  }

  for (const name of names) {
    it(`${name} runs, draws every figure and shows no error`, async () => {
      const expected = figuresOf(name);
      const outside: string[] = [];
      let page: Page | null = null;
      // A kernel that a busy machine starts too slowly may never answer its page: then once more with a new one.
      for (let attempt = 0; attempt < 3 && page === null; attempt++) page = await runAll(name, expected.figures, outside);
      if (page === null) throw new Error(`${name} still runs`);
      // Beside a still picture the live figure is drawn when it is pointed at.
      const figures = page.locator('.jp-RenderedPlotly');
      const drawn: number[] = [];
      for (let i = 0; i < await figures.count(); i++) {
        const figure = figures.nth(i);
        await pointUntilDrawn(page, figure);
        drawn.push(await figure.locator('.main-svg path, .main-svg rect').count());
      }
      const racks = await page.locator('.jp-RenderedSVG').count();
      const errors = await page.locator('[data-mime-type="application/vnd.jupyter.error"], '
        + '[data-mime-type="application/vnd.jupyter.stderr"]').allTextContents();
      if (process.env.SLOTCAST_SCREENSHOTS !== undefined) {
        await page.screenshot({ path: join(process.env.SLOTCAST_SCREENSHOTS, `${name}.png`) });
      }
      expect(errors).toEqual([]);
      expect(drawn).toHaveLength(expected.figures);
      for (const marks of drawn) expect(marks).toBeGreaterThan(10);
      expect(racks).toBe(expected.racks);
      expect(outside).toEqual([]);
      await page.close();
    }, 700_000);
  }
});

/** How many outputs of each kind the committed notebook holds. */
function figuresOf(name: string): { readonly figures: number; readonly racks: number } {
  const text = readFileSync(join('notebooks', name), 'utf8');
  return {
    figures: text.match(/"application\/vnd\.plotly\.v1\+json"/g)?.length ?? 0, racks: text.match(/"image\/svg\+xml"/g)?.length ?? 0,
  };
}

/**
 * Points at a figure until it is drawn live. Outputs above grow when they are drawn and move what is below, and a figure
 * notices the pointer only as it comes in: it leaves and comes again.
 */
async function pointUntilDrawn(page: Page, figure: Locator): Promise<void> {
  const live = figure.locator('.main-svg').first();
  for (let attempt = 0; attempt < 12 && await live.count() === 0; attempt++) {
    await figure.scrollIntoViewIfNeeded();
    const box = await figure.boundingBox();
    if (box === null) throw new Error('A figure is not shown.');
    await page.mouse.move(1, 1);
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2, { steps: 3 });
    await live.waitFor({ timeout: 5000 }).catch(() => null);
  }
  await live.waitFor({ timeout: 5000 });
}

async function freePort(): Promise<number> {
  return await new Promise((done) => {
    const probe = createServer().listen(0, () => {
      const address = probe.address();
      probe.close(() => done(typeof address === 'object' && address !== null ? address.port : 0));
    });
  });
}

async function answers(url: string, said: () => string): Promise<void> {
  for (let i = 0; i < 120; i++) {
    try {
      if ((await fetch(url)).ok) return;
    } catch {
      // Not listening yet.
    }
    await new Promise((done) => setTimeout(done, 500));
  }
  throw new Error(`JupyterLab does not answer:\n${said()}`);
}
