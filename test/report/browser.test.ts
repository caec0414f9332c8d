/// <reference lib="dom" />
/**
 * The report in a real browser, with the network off. Needs Chromium at /usr/bin/chromium; skipped with a message
 * where there is none.
 */
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { reportHtml } from '../../lib/report/index.js';
import { studiedRack } from '../figure/studiedRack.js';

const CHROMIUM = '/usr/bin/chromium';
const ARGUMENTS = [
  '--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
  '--disable-background-networking', '--disable-component-update', '--disable-sync',
];
const isMissing = !existsSync(CHROMIUM);
if (isMissing) console.log(`The browser tests of the report are skipped: there is no Chromium at ${CHROMIUM}.`);

/** Width of an A4 page between the report's margins of 12 mm, in CSS px of 1/96 inch. */
const PRINT_WIDTH = Math.floor(((210 - 24) / 25.4) * 96);

/** What was met while a page was open. */
interface Opened {
  readonly page: Page;
  readonly problems: readonly string[];
  readonly requests: readonly string[];
}

describe.skipIf(isMissing)('the report in a browser, offline', () => {
  let folder: string;
  let browser: Browser;
  const urls: string[] = [];

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'slotcast-report-'));
    for (const name of ['deep-bar-anywhere', 'plain-bar-even'] as const) {
      const file = join(folder, `${name}.html`);
      writeFileSync(file, [...reportHtml(await studiedRack(name))].join(''));
      urls.push(pathToFileURL(file).href);
    }
    browser = await chromium.launch({ executablePath: CHROMIUM, args: ARGUMENTS });
  });

  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  async function open(url: string, width: number): Promise<Opened> {
    const context = await browser.newContext({ viewport: { width, height: 900 } });
    await context.setOffline(true);
    const page = await context.newPage();
    const problems: string[] = [];
    const requests: string[] = [];
    page.on('console', (message) => {
      if (['error', 'warning'].includes(message.type())) problems.push(message.text());
    });
    page.on('pageerror', (error) => problems.push(error.message));
    page.on('request', (request) => requests.push(request.url()));
    await page.goto(url);
    await page.waitForFunction(() => document.querySelectorAll('.chart .main-svg').length > 0);
    return { page, problems, requests };
  }

  /** What is drawn in each figure, and where it ends, px. */
  const drawn = (page: Page) => page.evaluate(() => Array.from(document.querySelectorAll('figure'), (figure) => {
    const svgs = Array.from(figure.querySelectorAll('svg'));
    const box = figure.getBoundingClientRect();
    const edges = svgs.map((svg) => svg.getBoundingClientRect()).filter(({ width }) => width > 0);
    return {
      id: figure.id,
      marks: svgs.reduce((sum, svg) => sum + svg.querySelectorAll('path, rect, line').length, 0),
      texts: svgs.flatMap((svg) => Array.from(svg.querySelectorAll('text'), ({ textContent }) => textContent ?? '')),
      drawnHeight: Math.max(0, ...edges.map(({ height }) => height)),
      right: Math.max(box.right, ...edges.map(({ right }) => right)),
    };
  }));

  for (const width of [1280, 390]) {
    it(`draws every figure at ${width} px without an error, a request or a horizontal scroll`, async () => {
      for (const url of urls) {
        const { page, problems, requests } = await open(url, width);
        const figures = await drawn(page);
        expect(figures).toHaveLength(19);
        for (const figure of figures) {
          expect(figure.marks, figure.id).toBeGreaterThan(4);
          expect(figure.texts.filter((text) => text !== '').length, figure.id).toBeGreaterThan(3);
          expect(figure.drawnHeight, figure.id).toBeGreaterThan(100);
          expect(figure.right, figure.id).toBeLessThanOrEqual(width);
        }
        const scroll = await page.evaluate(() => document.documentElement.scrollWidth);
        expect(scroll).toBeLessThanOrEqual(width);
        expect(problems).toEqual([]);
        expect(requests).toEqual([url]);
        await page.context().close();
      }
    });
  }

  it('fits its figures on a printed page and keeps each in one piece', async () => {
    for (const url of urls) {
      const { page, problems } = await open(url, 1280);
      await page.emulateMedia({ media: 'print' });
      await page.setViewportSize({ width: PRINT_WIDTH, height: 1000 });
      const figures = await drawn(page);
      for (const figure of figures) {
        expect(figure.marks, figure.id).toBeGreaterThan(4);
        expect(figure.right, figure.id).toBeLessThanOrEqual(PRINT_WIDTH);
        expect(figure.drawnHeight, figure.id).toBeLessThan(((297 - 24) / 25.4) * 96);
      }
      const breaks = await page.evaluate(() => Array.from(document.querySelectorAll('figure, .caution'), (element) =>
        getComputedStyle(element).breakInside));
      expect(new Set(breaks)).toEqual(new Set(['avoid']));
      const clipped = await page.evaluate(() => Array.from(document.querySelectorAll('.scroll'))
        .filter((box) => box.scrollWidth > box.clientWidth).map((box) => box.getAttribute('aria-label')));
      expect(clipped).toEqual([]);
      const pdf = await page.pdf({ format: 'A4', preferCSSPageSize: true });
      expect(pdf.subarray(0, 5).toString('latin1')).toBe('%PDF-');
      expect(problems).toEqual([]);
      await page.context().close();
    }
  });

  it('lines up the slots of the rack, the temperatures and the currents beside each other', async () => {
    const { page } = await open(urls[0], 1280);
    const { frame, plots } = await page.evaluate(() => {
      const box = document.querySelector('#figure-lowest-1-rack svg > rect')?.getBoundingClientRect();
      return {
        frame: { top: box?.top ?? 0, bottom: box?.bottom ?? 0 },
        plots: ['temperature', 'current'].map((name) => {
          // The plotting library keeps the size of the plot area on its element.
          const chart = document.getElementById(`chart-lowest-1-${name}`) as HTMLElement & {
            readonly _fullLayout: { readonly _size: { readonly t: number; readonly h: number } };
          };
          const { t, h } = chart._fullLayout._size;
          const top = chart.getBoundingClientRect().top + t;
          return { top, bottom: top + h };
        }),
      };
    });
    expect(frame.bottom - frame.top).toBeGreaterThan(500);
    for (const plot of plots) {
      // The frame of the rack stands 2 px outside its slots.
      expect(Math.abs(plot.top - frame.top - 2)).toBeLessThan(1);
      expect(Math.abs(plot.bottom - frame.bottom + 2)).toBeLessThan(1);
    }
    await page.context().close();
  });

  it('names every figure and every scrolling box for those who do not see it', async () => {
    const { page } = await open(urls[1], 390);
    const unnamed = await page.evaluate(() => Array.from(
      document.querySelectorAll('[role="img"], [role="region"]'),
      (element) => element.getAttribute('aria-label') ?? document.getElementById(
        element.getAttribute('aria-labelledby') ?? '')?.textContent ?? '',
    ).filter((name) => name.trim() === '').length);
    expect(unnamed).toBe(0);
    const boxes = await page.evaluate(() =>
      Array.from(document.querySelectorAll<HTMLElement>('.scroll'), (box) => box.tabIndex));
    expect(boxes.length).toBeGreaterThan(5);
    expect(boxes.every((index) => index === 0)).toBe(true);
    await page.context().close();
  });
});
