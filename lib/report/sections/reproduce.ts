import { formatCount, formatLevel } from '../../figure/index.js';
import { type Content, type Section, table } from '../content.js';
import { html, nameOf } from '../html.js';

/** What someone else needs to get the same numbers. */
export function reproduce({ input }: Content): Section {
  const { library, study, inputs } = input.summary;
  const file = inputs[0]?.path ?? 'FILE';
  return {
    id: 'reproduce',
    heading: 'How to reproduce this report',
    body: html`<p>With the same files, the same version and the same Node.js version, this command gives the same
numbers, whatever the number of workers:</p>
<p><code class="command">slotcast study ${shellWord(file)} --seed ${shellWord(study.seed)} --scenarios ${String(study.scenariosPlanned)}</code></p>
${input.label?.document.command == null ? html`` : html`<p>The label decision was made with:</p>
<p><code class="command">${input.label.document.command}</code></p>
`}${table('Input files', ['File', 'SHA-256'],
    inputs.map(({ path, sha256 }) => [nameOf(path), html`<code>${sha256}</code>`]))}
${table('Run', ['Quantity', 'Value'], [
    ['Seed', html`<code>${nameOf(study.seed)}</code>`],
    ['Version', `slotcast ${library.version}, Node.js ${library.node}`],
    ['Scenarios', `${formatCount(study.scenariosPlanned)} planned, ${formatCount(study.scenariosRun)} run, `
      + `${formatCount(study.scenariosRated)} rated`],
    ['Sampling', study.sampling],
    ['Percentiles', `Hyndman and Fan ${study.percentileDefinition.replace('-', ' ')}, `
      + `${formatLevel(study.confidencePercent)} % confidence`],
  ])}`,
  };
}

/** A file name or a seed as one word of a command line. */
function shellWord(path: string): string {
  return /^[\w./-]+$/.test(path) && !path.startsWith('-') ? path : `'${path.replace(/'/g, `'\\''`)}'`;
}
