const ESCAPES: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };

/**
 * Any text as text of HTML, SVG or a plotly label: markup characters become character references; control characters
 * and halves of surrogate pairs, which no document may hold, become U+FFFD.
 */
export function escapeMarkup(text: string): string {
  return replaceForbidden(text).replace(/[&<>"']/g, (character) => ESCAPES[character]);
}

function replaceForbidden(text: string): string {
  // Iteration goes by code point: only halves without a partner come out as surrogates.
  return Array.from(text, (character) => {
    const code = character.codePointAt(0) ?? 0;
    const isSpace = code === 9 || code === 10 || code === 13;
    const isControl = code < 32 || (code >= 127 && code < 160);
    const isForbidden = (isControl && !isSpace) || (code >= 0xd800 && code <= 0xdfff) || (code & 0xfffe) === 0xfffe;
    return isForbidden ? '\ufffd' : character;
  }).join('');
}
