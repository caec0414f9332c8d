/**
 * Number of single-character insertions, deletions and replacements that turn one word into the other
 * (Levenshtein 1966, "Binary codes capable of correcting deletions, insertions, and reversals").
 */
export function editDistance(a: string, b: string): number {
  let previous = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const current = [i];
    for (let j = 1; j <= b.length; j++) {
      const replace = previous[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1);
      current.push(Math.min(replace, previous[j] + 1, current[j - 1] + 1));
    }
    previous = current;
  }
  return previous[b.length];
}

/**
 * The candidate nearest to a word, or null where none is within two edits. A candidate that would have to be
 * rewritten entirely (such as `id` for `no`) is no suggestion.
 */
export function nearestWord(word: string, candidates: readonly string[]): string | null {
  let best: string | null = null;
  let bestDistance = 3;
  for (const candidate of candidates) {
    const distance = editDistance(word, candidate);
    if (distance < bestDistance && distance < candidate.length) {
      best = candidate;
      bestDistance = distance;
    }
  }
  return best;
}

/**
 * The key a misspelt key stands for: the nearest one, or the only one that begins with it. The second is what a key
 * without its unit looks like (`depth` for `depthMm`).
 */
export function nearestKey(key: string, candidates: readonly string[]): string | null {
  const longer = candidates.filter((candidate) => key.length >= 3 && candidate.startsWith(key));
  return nearestWord(key, candidates) ?? (longer.length === 1 ? longer[0] : null);
}

/** `did you mean "x"? ` in front of a list of what is allowed, or nothing. */
export function suggestion(word: string, candidates: readonly string[]): string {
  const nearest = nearestWord(word, candidates);
  return nearest === null ? '' : `did you mean "${nearest}"? `;
}

/** `"a", "b", "c"`, shortened after twelve. */
export function listWords(words: readonly string[]): string {
  const shown = words.slice(0, 12).map((word) => `"${word}"`).join(', ');
  return words.length > 12 ? `${shown} and ${words.length - 12} more` : shown;
}
