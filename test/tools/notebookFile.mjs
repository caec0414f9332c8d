/** Notebook files as they are committed, and their code. */

/** Cells that hold code, as text. */
export function codeCells(notebook) {
  return notebook.cells.filter((cell) => cell.cell_type === 'code').map((cell) => [cell.source].flat().join(''));
}

/** What a reader sees of an output: media types with their content. */
export function representationsOf(output) {
  if (output.output_type === 'stream') return { [`stream/${output.name}`]: [output.text].flat().join('') };
  return Object.fromEntries(Object.entries(output.data ?? {}).map(([type, content]) => [
    type, Array.isArray(content) ? content.join('') : content,
  ]));
}

/** An executed notebook without what differs from run to run or from machine to machine. */
export function tidyNotebook(text) {
  const notebook = JSON.parse(text);
  // The kernel does not number its cells.
  let count = 0;
  const cells = notebook.cells.map((cell, i) => {
    const id = cell.id ?? `cell-${i + 1}`;
    const source = lines([cell.source].flat().join(''));
    if (cell.cell_type !== 'code') return { cell_type: cell.cell_type, id, metadata: {}, source };
    return {
      cell_type: 'code', execution_count: ++count, id, metadata: {},
      outputs: (cell.outputs ?? []).map(tidyOutput), source,
    };
  });
  return `${JSON.stringify({
    cells,
    metadata: {
      kernelspec: { display_name: 'TypeScript', language: 'typescript', name: 'tslab' },
      language_info: { file_extension: '.ts', mimetype: 'text/typescript', name: 'typescript' },
    },
    nbformat: 4,
    nbformat_minor: 5,
  }, null, 1)}\n`;
}

function tidyOutput(output) {
  const { output_type: type } = output;
  if (type === 'stream') return { name: output.name, output_type: type, text: lines([output.text].flat().join('')) };
  const data = Object.fromEntries(Object.entries(representationsOf(output)).map(([media, content]) => [
    media, typeof content === 'string' && !media.startsWith('image/png') ? lines(content) : content,
  ]));
  if (type === 'display_data') return { data, metadata: {}, output_type: type };
  return { ...output, data, metadata: {} };
}

/** Text as notebooks keep it: a list of lines, each with its end. */
function lines(text) {
  return text === '' ? [] : text.split(/(?<=\n)/);
}
