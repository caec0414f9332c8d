import type { Figure, Layout, Trace } from '../../lib/figure/figure.js';

/** The one trace of a name. */
export function traceNamed(figure: Figure, name: string): Trace {
  const [found] = tracesNamed(figure, name);
  if (found === undefined) {
    throw new Error(`no trace "${name}" among ${figure.data.map((trace) => trace.name).join(', ')}`);
  }
  return found;
}

export function tracesNamed({ data }: Figure, name: string): Trace[] {
  return data.filter((trace) => trace.name === name);
}

export function axisTitle({ layout }: Pick<Figure, 'layout'>, name: string): string {
  return (layout[name] as { title: { text: string } }).title.text;
}

export function rangeOf(layout: Layout, name: string): [number, number] {
  return (layout[name] as { range: [number, number] }).range;
}

/** What is written into the plot, with broken lines joined. */
export function textsOf({ layout }: Figure): string[] {
  return (layout.annotations ?? []).map(({ text }) => (text as string).replace(/<br>/g, ' '));
}

/** Numbers and texts only, all finite. */
export function isPlain(value: unknown): boolean {
  if (typeof value === 'number') return Number.isFinite(value);
  if (typeof value === 'object' && value !== null) return Object.values(value).every(isPlain);
  return typeof value === 'string' || typeof value === 'boolean';
}
