import type { HeatRunReading } from '../heatRunModel.js';
import { describeValue, type ProblemLog } from '../text/problemLog.js';
import type { HeatRunLine } from './line.js';

const HOUR = 3600;

/** A sensor sits in one place throughout, and is read once at an operating point, or at several times. */
export function logSensorPlaces(lines: readonly HeatRunLine[], problems: Pick<ProblemLog, 'add'>): void {
  const first = new Map<string, HeatRunLine>();
  const times = new Map<string, number>();
  for (const line of lines) {
    if (line.sensor === '') continue;
    const before = first.get(line.sensor);
    if (before === undefined) first.set(line.sensor, line);
    else if (
      before.kind !== line.kind ||
      before.slot !== line.slot ||
      before.pole !== line.pole ||
      before.depth !== line.depth
    ) {
      problems.add(
        `line ${line.line}, column sensor`,
        describeValue(line.sensor),
        `a sensor stays in one place, and line ${before.line} has it in another: give every place a name of its own`,
      );
    }
    const reading = JSON.stringify([line.point, line.sensor, line.time]);
    const repeated = times.get(reading);
    if (repeated !== undefined) {
      problems.add(
        `line ${line.line}, column sensor`,
        `${describeValue(line.sensor)} again`,
        `line ${repeated} has this sensor at this operating point and time: give each reading once`,
      );
    }
    times.set(reading, line.line);
    const isTimed = lines.find((other) => other.sensor === line.sensor && other.point === line.point)?.time !== null;
    if (isTimed !== (line.time !== null)) {
      problems.add(
        `line ${line.line}, column timeMin`,
        line.time === null ? 'an empty cell' : 'a time stamp',
        `give a time stamp with every reading of ${describeValue(line.sensor)} at this operating point, or with none`,
      );
    }
  }
}

/** The last reading of a sensor at an operating point, with how fast it still rose. */
export function readingOf(lines: readonly HeatRunLine[]): HeatRunReading {
  const inOrder = [...lines].sort((a, b) => (a.time ?? 0) - (b.time ?? 0));
  const read = inOrder.filter(({ temperature }) => temperature !== null);
  const last = read[read.length - 1] ?? inOrder[inOrder.length - 1];
  const { sensor, kind, slot, pole, depth, temperature, standardError, driftPerHour } = last;
  return {
    sensor,
    pole,
    depth,
    temperature,
    standardError,
    place: kind === 'air' ? 'air' : 'bar',
    slot: slot as number,
    driftPerHour: driftPerHour ?? driftOfTimes(read),
  };
}

/** K/h: slope of a straight line through the readings of the last hour, or through the last two where they lie apart more. */
function driftOfTimes(read: readonly HeatRunLine[]): number | null {
  if (read.length < 2) return null;
  const end = read[read.length - 1].time ?? 0;
  const lastHour = read.filter(({ time }) => (time ?? 0) >= end - HOUR);
  const used = lastHour.length >= 2 ? lastHour : read.slice(-2);
  const [times, temperatures] = [used.map(({ time }) => time ?? 0), used.map(({ temperature }) => temperature ?? 0)];
  const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
  const [meanTime, meanTemperature] = [mean(times), mean(temperatures)];
  const spread = times.reduce((sum, time) => sum + (time - meanTime) ** 2, 0);
  const along = times.reduce((sum, time, at) => sum + (time - meanTime) * (temperatures[at] - meanTemperature), 0);
  return spread > 0 ? (HOUR * along) / spread : null;
}
