import { elevationWords, escapeMarkup, type Figure, formatCount, rackElevation } from '../figure/index.js';
import { FigurePictures, NoBrowser } from '../report/index.js';
import type { Replay } from '../study/index.js';
import { type CellWriter, kernelWriter } from './cellWriter.js';
import { tableHtml, type TableLike, type TableOptions } from './tableHtml.js';

export interface DisplayOptions {
  /** Where outputs go; default: the running tslab kernel. */
  readonly writer?: CellWriter;
  /**
   * Whether each figure also gets a still picture, for readers without scripts (a code browser, a mail). It is made by an
   * installed Chromium; where there is none figures come without. Default true.
   */
  readonly stillPictures?: boolean;
}

/** Shows results under the cells of a notebook. */
export interface NotebookDisplay {
  /** A figure: live where the reader draws it, a still picture elsewhere, and its content in a sentence. */
  figure(figure: Figure): Promise<void>;
  /** A data frame, units in the headings, numbers rounded as people read them. */
  table(frame: TableLike, options?: TableOptions): void;
  /** A rack from the front, with the temperature of its bar. */
  rack(replay: Replay, slotCount: number, name?: string): void;
  /** Paragraphs of text; nothing in it is markup. */
  text(...paragraphs: readonly string[]): void;
  /** Progress of a long run, one line that is written over: hand it to `onProgress`. */
  progress(of: string): (done: number, planned: number) => void;
}

const PLOTLY = 'application/vnd.plotly.v1+json';
/** ms between two states of a progress line. */
const PROGRESS_PAUSE = 200;

/**
 * Helpers for a notebook on the tslab kernel.
 *
 * @example
 * const show = notebookDisplay();
 * await show.figure(distributionFigure(summary, ratedKw));
 *
 * @throws NotInNotebook where neither a kernel runs nor a writer is given
 */
export function notebookDisplay({ writer = kernelWriter(), stillPictures = true }: DisplayOptions = {}): NotebookDisplay {
  let pictures: Promise<FigurePictures | null> | null = stillPictures ? null : Promise.resolve(null);
  let shown = 0;
  const stillPicture = async (figure: Figure): Promise<Uint8Array | null> => {
    pictures ??= openPictures();
    return await (await pictures)?.png(figure) ?? null;
  };
  return {
    async figure(figure) {
      const png = await stillPicture(figure);
      const { data, layout, title, description } = figure;
      writer({
        [PLOTLY]: { data, layout, config: { displayModeBar: false, responsive: true } },
        ...(png === null ? {} : { 'image/png': Buffer.from(png).toString('base64') }),
        'text/plain': `${title}. ${description}`,
      });
    },
    table(frame, options) {
      const { html, text } = tableHtml(frame, options);
      writer({ 'text/html': html, 'text/plain': text });
    },
    rack(replay, slotCount, name = '') {
      // Ids inside a page must differ; the same notebook gives the same ones.
      const svg = rackElevation(replay, slotCount, `rack-${++shown}`, name);
      writer({ 'image/svg+xml': svg, 'text/plain': elevationWords(replay, name) });
    },
    text(...paragraphs) {
      writer({
        'text/html': paragraphs.map((words) => `<p>${escapeMarkup(words)}</p>`).join('\n'),
        'text/plain': paragraphs.join('\n\n'),
      });
    },
    progress: (of) => progressLine(writer, of, `progress-${++shown}`),
  };
}

function progressLine(writer: CellWriter, of: string, id: string): (done: number, planned: number) => void {
  let isFirst = true;
  let told = Number.NEGATIVE_INFINITY;
  return (done, planned) => {
    const now = performance.now();
    if (!isFirst && done < planned && now - told < PROGRESS_PAUSE) return;
    told = now;
    const words = `${formatCount(done)} of ${formatCount(planned)} ${of}`;
    writer({
      'text/html': `<progress value="${done}" max="${planned}"></progress> ${escapeMarkup(words)}`, 'text/plain': words,
    }, id, !isFirst);
    isFirst = false;
  };
}

async function openPictures(): Promise<FigurePictures | null> {
  try {
    return await FigurePictures.open();
  } catch (error) {
    if (!(error instanceof NoBrowser)) throw error;
    return null;
  }
}
