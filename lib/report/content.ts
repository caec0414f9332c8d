import { type Figure, formatNumber, kilowattDecimals } from '../figure/index.js';
import { Html, html } from './html.js';
import type { ReportInput } from './input.js';

/** The figures of a page, met so far. */
export class PageFigures {
  private readonly placed: { readonly id: string; readonly figure: Figure }[] = [];

  /** Figures in order of the page. */
  get figures(): readonly { readonly id: string; readonly figure: Figure }[] {
    return this.placed;
  }

  /** Markup of a figure: its finding, the box it is drawn into, and the same content as a sentence. */
  figure(id: string, figure: Figure): Html {
    this.placed.push({ id, figure });
    return html`<figure id="figure-${id}">
<figcaption>${figure.title}</figcaption>
<div class="chart" id="chart-${id}" role="img" aria-label="${figure.title}"></div>
<p class="note">${figure.description}</p>
</figure>
`;
  }
}

/** What the sections share: the input, one number of decimals for kW, and the figures. */
export class Content extends PageFigures {
  readonly decimals: number;

  constructor(readonly input: ReportInput) {
    super();
    this.decimals = kilowattDecimals(input.summary.lowestKw, input.summary.highestKw);
  }

  /** kW as everywhere in this report, without the unit. */
  kw(value: number): string {
    return formatNumber(value, this.decimals);
  }
}

/** Letters of a cell that stays on one line, and of a row's name that needs no width of its own. */
const SHORT = 20;
const NAME = 8;

/** A table in a box of its own, so that a wide one scrolls there and not the page. */
export function table(caption: string, head: readonly string[], rows: readonly (readonly (Html | string)[])[]): Html {
  const cells = rows.map((row) => html`<tr>${row.map((cell, i) => {
    const length = typeof cell === 'string' ? cell.length : 0;
    if (i === 0) return html`<th scope="row"${length > NAME ? new Html(' class="name"') : ''}>${cell}</th>`;
    return typeof cell === 'string'
      ? html`<td class="${length > SHORT ? 'long' : 'short'}">${cell}</td>` : html`<td>${cell}</td>`;
  })}</tr>
`);
  return html`<div class="scroll" tabindex="0" role="region" aria-label="${caption}"><table>
<caption>${caption}</caption>
<thead><tr>${head.map((cell) => html`<th scope="col">${cell}</th>`)}</tr></thead>
<tbody>
${cells}</tbody></table></div>
`;
}

/** One section of the page. */
export interface Section {
  readonly id: string;
  readonly heading: string;
  readonly body: Html;
}
