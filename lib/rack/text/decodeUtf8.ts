import type { ProblemLog } from './problemLog.js';

/** Bytes as text, without a byte order mark; null, with the line logged, where they are not UTF-8. */
export function decodeUtf8(bytes: Uint8Array, log: ProblemLog): string | null {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    const isUtf16 = (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff);
    const line = firstBadLine(bytes);
    log.add(isUtf16 ? '' : `line ${line}`, isUtf16 ? 'UTF-16 text' : 'bytes that are not UTF-8 text',
      'save the file as UTF-8');
    return null;
  }
}

/** A byte 0x0a is a line feed wherever it stands in UTF-8, so lines can be tried one by one. */
function firstBadLine(bytes: Uint8Array): number {
  let line = 1;
  for (let start = 0; start < bytes.length; line++) {
    const feed = bytes.indexOf(0x0a, start);
    const end = feed === -1 ? bytes.length : feed + 1;
    try {
      new TextDecoder('utf-8', { fatal: true }).decode(bytes.subarray(start, end));
    } catch {
      return line;
    }
    start = end;
  }
  return line;
}
