/** How the scenario table is written: see the option `--table`. */
export const TABLE_CHOICES = ['auto', 'csv', 'parquet', 'both', 'none'] as const;
export type TableChoice = (typeof TABLE_CHOICES)[number];
