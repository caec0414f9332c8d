import type { Catalogue, Rack } from '../model.js';
import type { ProblemLog } from '../text/problemLog.js';

/** Checks that contacts at the front edge leave bar between one slot and the next, where they may meet their likes. */
export function logContactHeights({ sources, loads }: Catalogue, { pitch }: Rack, log: ProblemLog): void {
  for (const { id, contact } of [...sources, ...loads]) {
    if (contact.edgeHeight < pitch) continue;
    log.add('catalogue', `the contact of "${id}" with ${+(contact.edgeHeight * 1e3).toFixed(3)} mm along the front edge`,
      `a contact must be lower than one slot, ${+(pitch * 1e3).toFixed(3)} mm in this rack`);
  }
}
