import { appendFileSync } from 'node:fs';
import { expect } from 'vitest';

/** One value held against a published one: what the validation page shows of it. */
export interface PublishedCheck {
  /** Section of the page: A bar ratings, B closed forms, C heat transfer, D statistics, E a whole study, F facts of the trade. */
  readonly section: 'A' | 'B' | 'C' | 'D' | 'E' | 'F';
  readonly quantity: string;
  /** Author, year, equation, or standard and table; `common practice, no published source` for a fact of the trade. */
  readonly source: string;
  /** The value was quoted from memory. */
  readonly fromMemory?: boolean;
  readonly unit: string;
  readonly published: number;
  readonly ours: number;
  /** Largest difference allowed, in the unit; or relative to the published value; or the band ours/published lies in. */
  readonly tolerance:
    | { readonly absolute: number }
    | { readonly relative: number }
    | { readonly ratioFrom: number; readonly ratioTo: number };
  /** Why that much: digits printed, known order of the method, spread of the source. */
  readonly why: string;
  /** Makes the value a point of a picture on the page: the picture's name and the place on its horizontal axis. */
  readonly plot?: { readonly picture: string; readonly x: number };
}

/** Asserts one published check and, where SLOTCAST_CHECKS names a file, appends it there for the validation page. */
export function publishedCheck(check: PublishedCheck): void {
  record({ kind: 'published', ...check });
  const { published, ours, tolerance } = check;
  const words = `${check.quantity}: ${ours} against ${published} ${check.unit} (${check.source})`;
  if ('ratioFrom' in tolerance) {
    expect(ours / published, words).toBeGreaterThanOrEqual(tolerance.ratioFrom);
    expect(ours / published, words).toBeLessThanOrEqual(tolerance.ratioTo);
    return;
  }
  const allowed = 'absolute' in tolerance ? tolerance.absolute : tolerance.relative * Math.abs(published);
  expect(Math.abs(ours - published), words).toBeLessThanOrEqual(allowed);
}

/** A published value that the model does not meet: shown with its error and what is missing, never as a pass. */
export interface PublishedShortfall extends Omit<PublishedCheck, 'tolerance' | 'why'> {
  /** Relative error as it stands, e.g. −0.09; the test fails when it moves by more than half a per cent point. */
  readonly error: number;
  /** What the model lacks, or what the source does not say. */
  readonly missing: string;
}

/** Records a shortfall and asserts that it is still the one stated. */
export function publishedShortfall(shortfall: PublishedShortfall): void {
  record({ kind: 'shortfall', ...shortfall });
  const { quantity, ours, published, error } = shortfall;
  expect(Math.abs(ours / published - 1 - error), `${quantity}: error ${ours / published - 1}, stated ${error}`)
    .toBeLessThanOrEqual(0.005);
}

/** One case compared with another program's answer. */
export interface IndependentCase {
  readonly program: string;
  readonly quantity: string;
  readonly unit: string;
  /** Largest difference found and allowed, in the unit. */
  readonly difference: number;
  readonly allowed: number;
}

/** Asserts one independent case and records it like {@link publishedCheck}. */
export function independentCase(found: IndependentCase): void {
  record({ kind: 'independent', ...found });
  expect(found.difference, `${found.program}: ${found.quantity}`).toBeLessThanOrEqual(found.allowed);
}

function record(line: object): void {
  const file = process.env.SLOTCAST_CHECKS;
  if (file !== undefined && file !== '') appendFileSync(file, `${JSON.stringify(line)}\n`);
}
