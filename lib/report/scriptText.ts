/**
 * Data as the content of a script element: JSON in which nothing can end the element or open a comment, and without
 * the two line separators that scripts once broke at.
 */
export function scriptJson(data: unknown): string {
  return JSON.stringify(data)
    .replace(/</g, '\\u003c')
    .replace(/\u2028/g, '\\u2028')
    .replace(/\u2029/g, '\\u2029');
}

/**
 * A script's own text, fit to stand in a script element: `</script` and `<!--` occur only inside strings, comments and
 * regular expressions, where a backslash before the second character changes nothing.
 */
export function scriptSource(source: string): string {
  return source.replace(/<(?=\/script|!--)/gi, '<\\');
}
