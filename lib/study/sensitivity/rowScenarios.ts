/**
 * The scenarios of Saltelli's matrices. Row j of A takes its random numbers from the streams of scenario j of the
 * study, row j of B from those of scenario rows + j; a mixed row takes one factor's from B and all others' from A.
 */
import { randomStream, RecordedStream, type Scenario, type ScenarioSource } from '../../draw/index.js';
import { SCENARIO_QUANTITIES } from '../../rack/studyModel.js';
import type { Factor } from './factors.js';
import type { ToleranceName } from './tolerances.js';

export class RowScenarios {
  constructor(
    private readonly source: ScenarioSource,
    private readonly seed: string,
    private readonly rows: number,
  ) {}

  /** Row of A. @throws PlacementNotFound */
  a(row: number): Scenario {
    return this.drawn(row, () => false);
  }

  /** Row of B. @throws PlacementNotFound */
  b(row: number): Scenario {
    return this.drawn(row, () => true);
  }

  /** Row of A with one factor as in B. @throws PlacementNotFound */
  mixed(row: number, { tolerances }: Factor): Scenario {
    if (tolerances.length === 0) return this.drawn(row, (name) => name === 'placement');
    return this.drawn(row, (name) => name !== 'placement' && tolerances.includes(name));
  }

  private drawn(row: number, isOfB: (name: ToleranceName | 'placement') => boolean): Scenario {
    const { source, seed, rows } = this;
    const indexOf = (name: ToleranceName | 'placement') => (isOfB(name) ? rows + row : row);
    return source.drawFrom(
      (purpose) => {
        switch (purpose) {
          case 'placement':
            return randomStream(seed, indexOf('placement'), purpose);
          case 'contacts':
            return randomStream(seed, indexOf('loadContact'), purpose);
          case 'sharing':
            return randomStream(seed, indexOf('sharingWeight'), purpose);
          case 'build':
            return this.build(row, isOfB);
        }
      },
      randomStream(seed, indexOf('sourceContact'), 'source-contacts'),
    ).scenario;
  }

  /** One number for each of SCENARIO_QUANTITIES, as BuildDraw takes them. */
  private build(row: number, isOfB: (name: ToleranceName) => boolean): RecordedStream {
    const ofA = randomStream(this.seed, row, 'build');
    const ofB = randomStream(this.seed, this.rows + row, 'build');
    const numbers = SCENARIO_QUANTITIES.map((name) => {
      const [a, b] = [ofA.double(), ofB.double()];
      return isOfB(name) ? b : a;
    });
    return new RecordedStream(numbers, ofA);
  }
}
