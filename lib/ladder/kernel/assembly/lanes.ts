// Both poles of a rack side by side in one register: lane 0 is the supply pole, lane 1 the return pole.
// An array `[slot × pole]` is read and written a slot at a time.

// @ts-ignore: decorator
@inline export function both(x: f64): v128 { return f64x2.splat(x); }
// @ts-ignore: decorator
@inline export function supplyOf(x: v128): f64 { return f64x2.extract_lane(x, 0); }
// @ts-ignore: decorator
@inline export function returnOf(x: v128): f64 { return f64x2.extract_lane(x, 1); }
// @ts-ignore: decorator
@inline export function plus(a: v128, b: v128): v128 { return f64x2.add(a, b); }
// @ts-ignore: decorator
@inline export function minus(a: v128, b: v128): v128 { return f64x2.sub(a, b); }
// @ts-ignore: decorator
@inline export function times(a: v128, b: v128): v128 { return f64x2.mul(a, b); }
// @ts-ignore: decorator
@inline export function over(a: v128, b: v128): v128 { return f64x2.div(a, b); }
/** a + b·c. */
// @ts-ignore: decorator
@inline export function plusTimes(a: v128, b: v128, c: v128): v128 { return f64x2.add(a, f64x2.mul(b, c)); }
/** Both lanes above 0 (and numbers). */
// @ts-ignore: decorator
@inline export function positive(x: v128): bool { return supplyOf(x) > 0 && returnOf(x) > 0; }

/** Entry of an array `[slot × pole]`. */
// @ts-ignore: decorator
@inline export function pair(array: usize, slot: i32): v128 { return v128.load(array + (<usize>slot << 4)); }
// @ts-ignore: decorator
@inline export function setPair(array: usize, slot: i32, x: v128): void { v128.store(array + (<usize>slot << 4), x); }
/** Entry of an array of numbers. */
// @ts-ignore: decorator
@inline export function at(array: usize, i: i32): f64 { return load<f64>(array + (<usize>i << 3)); }
// @ts-ignore: decorator
@inline export function put(array: usize, i: i32, x: f64): void { store<f64>(array + (<usize>i << 3), x); }
/** Added to a whole number from 0 to 2³¹ − 1, it leaves that number in the lowest bits. */
export const WHOLE: f64 = 4503599627370496;
/** A number from 0 to 2³¹ − 1, to the nearest whole; where it is not one, anything. Quicker than a conversion that must be right. */
// @ts-ignore: decorator
@inline export function wholeOf(x: f64): i32 { return <i32>reinterpret<i64>(x + WHOLE); }

/** Entry of an array of whole numbers. */
// @ts-ignore: decorator
@inline export function wholeAt(array: usize, i: i32): i32 { return load<i32>(array + (<usize>i << 2)); }
// @ts-ignore: decorator
@inline export function putWhole(array: usize, i: i32, x: i32): void { store<i32>(array + (<usize>i << 2), x); }

// Loops of their own instead of memory.fill and memory.copy, which leave the kernel: slow for arrays this short. Arrays
// are whole registers long.

/** Zeros in a whole number of registers that hold `count` numbers. */
// @ts-ignore: decorator
@inline export function clear(array: usize, count: i32): void {
  const end = array + (<usize>count << 3);
  for (let place = array; place < end; place += 16) v128.store(place, both(0));
}
// @ts-ignore: decorator
@inline export function copy(to: usize, from: usize, count: i32): void {
  const size = <usize>count << 3;
  for (let k: usize = 0; k < size; k += 16) v128.store(to + k, v128.load(from + k));
}
