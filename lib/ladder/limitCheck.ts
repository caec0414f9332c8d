/** What can bind. Voltage collapse and no steady state are answers of the physics rather than limits of the files. */
export const LIMIT_NAMES = [
  'bar-rise',
  'bar-temperature',
  'contact-temperature',
  'source-current',
  'source-power',
  'load-contact-current',
  'lowest-load-voltage',
  'voltage-collapse',
  'no-steady-state',
  'ground-contact-current',
  'bond-current',
] as const;
export type LimitName = (typeof LIMIT_NAMES)[number];

/** The same in words for people. */
export const LIMIT_WORDS: Record<LimitName, string> = {
  'bar-rise': 'bar rise',
  'bar-temperature': 'bar temperature',
  'contact-temperature': 'contact temperature',
  'source-current': 'source current',
  'source-power': 'source power',
  'load-contact-current': 'load-contact current',
  'lowest-load-voltage': 'lowest load voltage',
  'voltage-collapse': 'voltage collapse',
  'no-steady-state': 'no steady state',
  'ground-contact-current': 'ground-contact current',
  'bond-current': 'bond current',
};

/** Where a limit is reached: pole is `supply`, `return` or `both` (currents and voltages belong to both poles). */
export interface Binding {
  readonly limit: LimitName;
  /** 1-based; 0 where no single slot can be named. */
  readonly slot: number;
  readonly pole: 'supply' | 'return' | 'both';
}
