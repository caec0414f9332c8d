/**
 * Units at the border of files, to SI. Small units are divided by a power of ten, because that gives the nearest
 * number (5 mm is exactly the number 0.005), which multiplying by 0.001 need not.
 */
import { ZERO_CELSIUS } from '../model.js';

/** mm to m. */
export const fromMm = (mm: number): number => mm / 1e3;
/** µΩ to Ω. */
export const fromMicroOhm = (microOhm: number): number => microOhm / 1e6;
/** mΩ to Ω. */
export const fromMilliOhm = (milliOhm: number): number => milliOhm / 1e3;
/** nΩ·m to Ω·m. */
export const fromNanoOhmM = (nanoOhmM: number): number => nanoOhmM / 1e9;
/** kW to W. */
export const fromKw = (kw: number): number => kw * 1e3;
/** °C to K. */
export const fromCelsius = (celsius: number): number => celsius + ZERO_CELSIUS;
/** K per kW to K per W. */
export const fromKPerKw = (kPerKw: number): number => kPerKw / 1e3;
/** Per cent to fraction. */
export const fromPercent = (percent: number): number => percent / 100;
