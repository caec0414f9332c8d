/** Columns of text aligned for a terminal: numbers to the right, words to the left, two spaces between. */
export function textTable(header: readonly string[], rows: readonly (readonly string[])[]): string {
  const all = [header, ...rows];
  const widths = header.map((_, c) => Math.max(...all.map((row) => row[c].length)));
  const numeric = header.map((_, c) => rows.length > 0 && rows.every((row) => /^[-+–]?[\d.,]*%?$/.test(row[c])));
  const line = (row: readonly string[]) =>
    row.map((cell, c) => (numeric[c] ? cell.padStart(widths[c]) : cell.padEnd(widths[c]))).join('  ').trimEnd();
  return all.map(line).join('\n');
}

/** Text from files made safe for a terminal: control characters become visible marks. */
export function plainText(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is removed
  return text.replace(/[\u0000-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/g, '�');
}
