/** A command with its options as a shell takes it: the command that gives the same answer. */
export function commandLine(
  name: string, file: string, options: Readonly<Record<string, string | number | undefined>>,
): string {
  const given = Object.entries(options).flatMap(([key, value]) => (
    value === undefined ? [] : [`--${key} ${quoted(String(value))}`]
  ));
  return [`slotcast ${name}`, quoted(file), ...given].join(' ');
}

function quoted(word: string): string {
  return /^[\w.,/:+-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`;
}
