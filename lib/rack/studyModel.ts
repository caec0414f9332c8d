/**
 * What a study asks for, once its files have been read and checked. SI inside, see model.ts.
 */
import type { Catalogue, Rack } from './model.js';

/** A random quantity. `measured` resamples the given values through their empirical distribution. */
export type Distribution =
  | { readonly distribution: 'fixed'; readonly value: number }
  | { readonly distribution: 'uniform'; readonly min: number; readonly max: number }
  | { readonly distribution: 'normal'; readonly mean: number; readonly sd: number; readonly min: number; readonly max: number }
  | { readonly distribution: 'lognormal'; readonly median: number; readonly geometricSd: number; readonly min: number; readonly max: number }
  | { readonly distribution: 'triangular'; readonly min: number; readonly mode: number; readonly max: number }
  | { readonly distribution: 'measured'; readonly values: readonly number[] };

/** Quantities with one value per scenario; the design (plain or Latin hypercube) and the correlations act on these. */
export const SCENARIO_QUANTITIES = ['contactFactor', 'filmFactor', 'emissivity', 'areaFactor', 'inlet'] as const;
export type ScenarioQuantity = (typeof SCENARIO_QUANTITIES)[number];

export interface Uncertain {
  /** Only the quantities that vary; `inlet` in K. */
  readonly perScenario: Partial<Record<ScenarioQuantity, Distribution>>;
  /** Ω, independent for each contact and pole of the sources; null: as the catalogue says. */
  readonly sourceContact: Distribution | null;
  /** Ω, the same for loads. */
  readonly loadContact: Distribution | null;
  /** Relative sharing weight of each source, independent; null: equal shares. */
  readonly sharingWeight: Distribution | null;
}

export interface Correlation {
  readonly between: readonly [ScenarioQuantity, ScenarioQuantity];
  /** Spearman rank correlation, −1..1. */
  readonly rank: number;
}

/** Which units a rule speaks of: a group, or one catalogue id (`{ id }`). */
export type UnitSelector = 'sources' | 'power-shelves' | 'battery-shelves' | 'loads' | { readonly id: string };

/** Placement rules; every slot number is 1-based and inclusive. */
export type Rule =
  /** These units stand wholly within the band. */
  | { readonly rule: 'only-in-band'; readonly units: UnitSelector; readonly fromSlot: number; readonly toSlot: number }
  /** These units take no slot of the band. */
  | { readonly rule: 'keep-out'; readonly units: UnitSelector; readonly fromSlot: number; readonly toSlot: number }
  /** No unit of the one kind stands directly above or below a unit of the other. */
  | { readonly rule: 'not-next-to'; readonly units: UnitSelector; readonly neighbours: UnitSelector }
  /** No load unit draws more than this per slot of its height (W), as drawn. */
  | { readonly rule: 'max-power-per-slot'; readonly power: number }
  /** The loads that take slots of the band draw together at most this (W), as drawn; a unit counts with the share of its slots in the band. */
  | { readonly rule: 'max-power-in-band'; readonly fromSlot: number; readonly toSlot: number; readonly power: number }
  /** These units form one block without a gap. */
  | { readonly rule: 'together'; readonly units: UnitSelector }
  /** At least this many slots between any two of these units (whatever stands there). */
  | { readonly rule: 'apart'; readonly units: UnitSelector; readonly slotsBetween: number }
  /** At least this many slots of the rack stay empty. */
  | { readonly rule: 'min-free-slots'; readonly count: number };

/** How many of which source type stand in the rack. */
export interface SourceCount {
  readonly id: string;
  readonly count: number;
}

/** Where the sources stand. Counts come from `SourcesDraw.units`; `fixed` names each unit's lowest slot instead. */
export type SourcePositions =
  /** Uniform over all arrangements the rules allow. */
  | { readonly draw: 'uniform' }
  /** Uniform over arrangements in which all sources form one block. */
  | { readonly draw: 'contiguous' }
  /** Uniform over arrangements in which the sources form blocks of these sizes, in any order, blocks not touching. */
  | { readonly draw: 'groups'; readonly sizes: readonly number[] }
  /** Uniform over arrangements with `count` sources wholly within each band; bands do not overlap and hold all sources. */
  | { readonly draw: 'bands'; readonly bands: readonly { readonly fromSlot: number; readonly toSlot: number; readonly count: number }[] }
  | { readonly draw: 'fixed'; readonly units: readonly { readonly id: string; readonly bottomSlot: number }[] };

export interface SourcesDraw {
  readonly units: readonly SourceCount[];
  readonly positions: SourcePositions;
}

export interface ObservedUnit {
  readonly equipment: string;
  readonly bottomSlot: number;
  readonly heightSlots: number;
  /** W. */
  readonly power: number;
}

export interface ObservedRack {
  readonly rack: string;
  readonly units: readonly ObservedUnit[];
}

/** Inclusive range of whole numbers, each equally likely. */
export interface CountRange {
  readonly min: number;
  readonly max: number;
}

/** How the loads are drawn. `id` names the load type whose height and contact are used. */
export type LoadsDraw =
  /** Fixed loads, for hand-picked layouts. */
  | { readonly draw: 'fixed'; readonly units: readonly { readonly id: string; readonly bottomSlot: number; readonly power: number }[] }
  /** Equal powers (W each = totalPower/k) on k units at uniformly drawn places. */
  | { readonly draw: 'even'; readonly id: string; readonly count: CountRange; readonly totalPower: number }
  /** The total split at random (symmetric Dirichlet) over k units at uniformly drawn places. */
  | { readonly draw: 'random-split'; readonly id: string; readonly count: CountRange; readonly totalPower: number; readonly concentration: number }
  /** Units drawn by mix weight with a uniform power in their range, each at a place drawn uniformly among those left, until nothing fits or the total is reached. */
  | { readonly draw: 'catalogue'; readonly totalPower: number; readonly fill: 'anywhere' | 'bottom-up' | 'top-down' }
  /** Every free place at the cap (W) with the given chance, else empty; at least one is full. */
  | { readonly draw: 'all-or-nothing'; readonly id: string; readonly cap: number; readonly chanceFull: number }
  /** A rack of the inventory resampled; `observed` keeps each unit's place where it is free (else the nearest free one), `shuffled` places the units uniformly. */
  | { readonly draw: 'inventory'; readonly racks: readonly ObservedRack[]; readonly places: 'observed' | 'shuffled' };

export type Sampling =
  | { readonly design: 'plain' }
  /**
   * Independent replicates of `size` scenarios each: scenario i belongs to replicate floor(i/size). In a replicate the
   * quantities with one value per scenario are spread as a Latin hypercube or as scrambled Sobol' points, and with
   * `stratifySources` the source arrangement is as well.
   */
  | { readonly design: 'latin-hypercube' | 'sobol'; readonly size: number; readonly stratifySources?: boolean };

/** Scenarios in an independent replicate of a design; null where every scenario is one by itself. */
export function replicateSizeOf(sampling: Sampling): number | null {
  return sampling.design === 'plain' ? null : sampling.size;
}

/** The design in words, e.g. `latin-hypercube, replicates of 200`. */
export function samplingWords(sampling: Sampling): string {
  if (sampling.design === 'plain') return 'plain';
  return `${sampling.design}, replicates of ${sampling.size}${sampling.stratifySources === true ? ', sources stratified' : ''}`;
}

export interface Stopping {
  /** Fraction, the percentile watched. */
  readonly percentile: number;
  /** W. */
  readonly halfWidth: number;
  /** Scenarios between looks. */
  readonly lookEvery: number;
}

/** Rules that a study's readers would like to know the worth of; they do not change what is drawn. */
export interface CandidateRules {
  readonly name: string;
  readonly rules: readonly Rule[];
}

export interface Study {
  readonly name: string;
  readonly rack: Rack;
  readonly catalogue: Catalogue;
  readonly seed: string;
  readonly scenarios: number;
  readonly sources: SourcesDraw;
  readonly loads: LoadsDraw;
  readonly rules: readonly Rule[];
  readonly candidateRules: readonly CandidateRules[];
  readonly uncertain: Uncertain;
  readonly correlations: readonly Correlation[];
  readonly sampling: Sampling;
  /** Fractions 0..1, ascending. */
  readonly percentiles: readonly number[];
  readonly percentileDefinition: 'type-7' | 'type-8';
  /** Two-sided confidence, e.g. 0.95. */
  readonly confidence: number;
  /** Share of scenarios, 0..1, that may stay without a rated power; with more the study has failed. */
  readonly mostNotRated: number;
  readonly stopping: Stopping | null;
}
