import { describeState, type FollowedLoad, LIMIT_WORDS } from '../ladder/index.js';
import { ZERO_CELSIUS } from '../rack/index.js';
import { isCarried } from '../figure/index.js';
import { type AnyFrameLibrary, frameOf } from './frames.js';

/** A load over time in each operating state: whether it is carried, and the moment nearest to a limit. */
export function historyFrame<Frame>(library: AnyFrameLibrary<Frame>, followed: readonly FollowedLoad[]): Frame {
  return frameOf(library, followed.map((one) => ({
    state: describeState(one.state), carried: isCarried(one) ? 'yes' : 'no',
    mostUsedPercent: one.worst === null ? null : 100 * one.worst.utilisation,
    of: one.worst === null ? null : LIMIT_WORDS[one.worst.binding.limit],
    afterS: one.worst === null ? null : Math.round(one.worst.time),
    hottestC: one.points.length === 0 ? null : Math.max(...one.points.map(({ hottest }) => hottest)) - ZERO_CELSIUS,
  })));
}
