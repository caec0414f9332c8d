// What the kernel asks of the host, rarely.

/**
 * The films of a slot for which the tables have no answer yet.
 * @param radiant K of what the bar radiates to, or 0 for the local air
 * @returns whether the tables have one now; where not, the slot lies outside of them and the host has set its loss itself
 */
@external('host', 'films')
export declare function films(slot: i32, radiant: f64): bool;

/**
 * Divides the return current between bar and frame at the present currents and temperatures: `returnCurrent`, currents of
 * return contacts, ground contacts and bonds, and the voltages that follow. Asked where the rack has a frame.
 */
@external('host', 'divide')
export declare function divide(): void;

/** S and M of a patch at the front edge, heights and depths in m: see contactSpreading.ts. */
@external('host', 'patchMean')
export declare function patchMean(height: f64, depth: f64): f64;
@external('host', 'patchMiddle')
export declare function patchMiddle(height: f64, depth: f64): f64;
