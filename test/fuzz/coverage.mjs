/** Which blocks of the library an input runs through, from the engine's own profiler. */
import { Session } from 'node:inspector';

export class Coverage {
  #session = new Session();
  #seen = new Set();

  /** @param folders parts of file names that count */
  constructor(folders) {
    this.folders = folders;
    this.#session.connect();
    this.#post('Profiler.enable');
    this.#post('Profiler.startPreciseCoverage', { callCount: true, detailed: true });
    this.#take();
  }

  #post(method, parameters) {
    let answer;
    // Answers of this session come at once.
    this.#session.post(method, parameters, (error, result) => {
      if (error !== null) throw new Error(`${method}: ${error.message}`);
      answer = result;
    });
    return answer;
  }

  /** Counters start from nought at every call. */
  #take() {
    return this.#post('Profiler.takePreciseCoverage').result;
  }

  /** Forgets what ran since the last call without counting it as seen. */
  skip() {
    this.#take();
  }

  /** How many blocks have run since the last call that never ran before. */
  news() {
    let fresh = 0;
    for (const { url, functions } of this.#take()) {
      if (!this.folders.some((folder) => url.includes(folder))) continue;
      for (const { ranges } of functions) {
        for (const { startOffset, endOffset, count } of ranges) {
          if (count === 0) continue;
          // Twice and often are other ways than once.
          const key = `${url}:${startOffset}:${endOffset}:${count > 8 ? 3 : count > 1 ? 2 : 1}`;
          if (this.#seen.has(key)) continue;
          this.#seen.add(key);
          fresh++;
        }
      }
    }
    return fresh;
  }

  get blocks() {
    return this.#seen.size;
  }
}
