/** A word as a shell takes it. */
export function shellWord(word: string): string {
  return /^[\w.,/:+-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`;
}

/** A command with its options as a shell takes it: the command that gives the same answer. Options without a value are left out. */
export function commandLine(
  name: string, file: string, options: Readonly<Record<string, string | number | undefined>>,
): string {
  const given = Object.entries(options).flatMap(([key, value]) => (
    value === undefined ? [] : [`--${key} ${shellWord(String(value))}`]
  ));
  return [`slotcast ${name}`, shellWord(file), ...given].join(' ');
}
