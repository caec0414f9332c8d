/** Lowest and highest film temperature of the tables, K. */
export const TABLE_MIN = 160;
export const TABLE_MAX = 1360;
/** K between the nodes of a table. */
export const TABLE_STEP = 2;
export const TABLE_LAST = (TABLE_MAX - TABLE_MIN) / TABLE_STEP - 1;

/**
 * Smooth functions of the film temperature as piecewise cubics (Hermite, 2 K apart), so that air properties with
 * fractional powers cost a few multiplications in the solver. Relative error for air properties below 1e-9 from 200 K
 * on, 2e-9 below. Readers hold values beyond the ends at the end values.
 *
 * @returns `[interval × function × 4]`: coefficients of a cubic in the distance (K) from the interval's lower end
 */
export function temperatureTable(functions: readonly ((temperature: number) => number)[]): Float64Array {
  const count = functions.length;
  const coefficients = new Float64Array((TABLE_LAST + 1) * count * 4);
  functions.forEach((valueAt, f) => {
    const slopeAt = (t: number): number => {
      const h = 0.5;
      return (8 * (valueAt(t + h) - valueAt(t - h)) - (valueAt(t + 2 * h) - valueAt(t - 2 * h))) / (12 * h);
    };
    let y1 = valueAt(TABLE_MIN);
    let d1 = slopeAt(TABLE_MIN);
    for (let i = 0; i <= TABLE_LAST; i++) {
      const [y0, d0] = [y1, d1];
      const t1 = TABLE_MIN + (i + 1) * TABLE_STEP;
      y1 = valueAt(t1);
      d1 = slopeAt(t1);
      const k = (i * count + f) * 4;
      coefficients[k] = y0;
      coefficients[k + 1] = d0;
      coefficients[k + 2] = (3 * (y1 - y0)) / TABLE_STEP ** 2 - (2 * d0 + d1) / TABLE_STEP;
      coefficients[k + 3] = (2 * (y0 - y1)) / TABLE_STEP ** 3 + (d0 + d1) / TABLE_STEP ** 2;
    }
  });
  return coefficients;
}
