import type { RandomStream } from './randomStream.js';
import { BROKEN, TooManyStates, type SlotAutomaton } from './slotAutomaton.js';

/** A kind of unit to be placed; units of one piece cannot be told apart. */
export interface Piece {
  readonly heightSlots: number;
  /** `[bottomSlot]`, 1-based: 1 where the piece may stand with its lowest slot there. */
  readonly permittedBottoms: Uint8Array;
}

/** Weight of a placement: the product over its slots. Left out, every placement weighs 1 and weights are counts. */
export interface PieceWeights {
  /** Factor for each placed piece. */
  readonly placed: number;
  /** Factor for each slot left empty in which some piece may stand. */
  readonly left: number;
}

/** Largest number of nodes kept; about 100 bytes each. */
const NODE_LIMIT = 1_500_000;
/** Below this an array finds a node faster than a map, and is still small. */
const DENSE_INDEX_LIMIT = 2 ** 20;
const EXACT = 2 ** 53;

/**
 * All placements of some pieces that an automaton allows, as paths from the lowest slot to the top of the rack.
 *
 * `total` is the number of placements, exact below 2⁵³ and to rounding (about 1e-16 per slot) beyond, or the sum of
 * their weights. `draw` gives each placement with probability weight/total: exactly, while total < 2⁵³ and no weights
 * are given (one whole random number is unranked); otherwise to 2⁻⁵³ per choice.
 */
export class ArrangementGraph {
  readonly total: number;
  /** `[node + 1]`: where the node's edges begin. */
  private readonly edgeStart: number[] = [];
  private readonly edgePiece: number[] = [];
  private readonly edgeTarget: number[] = [];
  /** Placements (or weight) along the edge. */
  private readonly edgeValue: Float64Array;
  private readonly nodeValue: Float64Array;
  private readonly nodeSlot: number[] = [];
  private readonly root = 0;
  private readonly weighted: boolean;

  /** @throws TooManyStates when more than 1.5 million nodes are needed */
  constructor(
    private readonly slotCount: number,
    pieces: readonly Piece[],
    automaton: SlotAutomaton,
    weights: PieceWeights | null = null,
  ) {
    this.weighted = weights !== null;
    const states: number[] = [];
    const layers = this.explore(pieces, automaton, states);
    this.nodeValue = new Float64Array(states.length);
    this.edgeValue = new Float64Array(this.edgePiece.length);
    this.count(pieces, automaton, states, layers, weights);
    this.total = this.nodeValue[this.root];
  }

  /**
   * Draws one placement, pieces from the bottom up.
   * @param piecesOut filled with piece numbers
   * @param bottomsOut filled with lowest slots
   * @returns how many pieces were placed
   */
  draw(stream: RandomStream, piecesOut: Int32Array, bottomsOut: Int32Array): number {
    return this.follow(stream, -1, piecesOut, bottomsOut);
  }

  /**
   * As draw, the placement that a number 0 ≤ u < 1 chooses: they are ordered from those whose lowest pieces stand highest.
   * Where the placements are too many for one number, `stream` makes the choices that u leaves open.
   */
  drawAt(u: number, stream: RandomStream, piecesOut: Int32Array, bottomsOut: Int32Array): number {
    return this.follow(stream, u * this.total, piecesOut, bottomsOut);
  }

  /** @param first place among the placements (0 ≤ first < total) at which to begin, or −1: drawn */
  private follow(stream: RandomStream, first: number, piecesOut: Int32Array, bottomsOut: Int32Array): number {
    if (!(this.total > 0)) throw new RangeError('there is no placement to draw');
    const { nodeValue, nodeSlot, edgeStart, edgePiece, edgeTarget, edgeValue } = this;
    let placed = 0;
    let node = this.root;
    const isExact = !this.weighted && this.total < EXACT;
    let rank = first >= 0 && isExact ? Math.min(Math.floor(first), this.total - 1) : -1;
    let chosen = first >= 0 && !isExact ? first : -1;
    while (nodeSlot[node] <= this.slotCount) {
      const value = nodeValue[node];
      if (rank < 0 && !this.weighted && value < EXACT) rank = stream.integerBelow(value);
      // Beyond 2^53 one random number cannot reach every placement: each choice takes its own.
      let left = rank >= 0 ? rank : chosen >= 0 ? chosen : stream.double() * value;
      chosen = -1;
      const end = edgeStart[node + 1];
      let edge = edgeStart[node];
      while (left >= edgeValue[edge] && edge < end - 1) left -= edgeValue[edge++];
      while (edgeValue[edge] === 0) edge--; // rounding may step past the last edge that leads anywhere
      if (rank >= 0) rank = left;
      if (edgePiece[edge] >= 0) {
        piecesOut[placed] = edgePiece[edge];
        bottomsOut[placed] = nodeSlot[node];
        placed++;
      }
      node = edgeTarget[edge];
    }
    return placed;
  }

  /** Forward: every node reachable from the empty rack, by slot. Fills the edges, returns the nodes of each slot. */
  private explore(pieces: readonly Piece[], automaton: SlotAutomaton, states: number[]): number[][] {
    const { slotCount, edgePiece, edgeTarget, edgeStart, nodeSlot } = this;
    const layers: number[][] = Array.from({ length: slotCount + 2 }, () => []);
    const index = nodeIndex(slotCount, automaton.stateCount);
    const reach = (slot: number, state: number): number => {
      const known = index.get(slot, state);
      if (known >= 0) return known;
      const node = states.length;
      if (node >= NODE_LIMIT) throw new TooManyStates(NODE_LIMIT);
      index.set(slot, state, node);
      states.push(state);
      nodeSlot.push(slot);
      layers[slot].push(node);
      return node;
    };
    reach(1, automaton.start);
    const edgesOf: number[][] = [];
    for (let slot = 1; slot <= slotCount; slot++) {
      for (const node of layers[slot]) {
        const edges: number[] = [];
        const empty = automaton.leaveEmpty(states[node], slot);
        if (empty !== BROKEN) edges.push(-1, reach(slot + 1, empty));
        for (let piece = 0; piece < pieces.length; piece++) {
          const { heightSlots, permittedBottoms } = pieces[piece];
          if (permittedBottoms[slot] === 0 || slot + heightSlots - 1 > slotCount) continue;
          const state = automaton.place(states[node], piece, slot);
          if (state !== BROKEN) edges.push(piece, reach(slot + heightSlots, state));
        }
        edgesOf[node] = edges;
      }
    }
    for (let node = 0; node < states.length; node++) {
      edgeStart.push(edgePiece.length);
      const edges = edgesOf[node] ?? [];
      for (let at = 0; at < edges.length; at += 2) {
        edgePiece.push(edges[at]);
        edgeTarget.push(edges[at + 1]);
      }
    }
    edgeStart.push(edgePiece.length);
    return layers;
  }

  /** Backward: the number (or weight) of placements from each node to the top of the rack. */
  private count(
    pieces: readonly Piece[],
    automaton: SlotAutomaton,
    states: readonly number[],
    layers: readonly number[][],
    weights: PieceWeights | null,
  ): void {
    const { nodeValue, edgeStart, edgePiece, edgeTarget, edgeValue, slotCount } = this;
    for (const node of layers[slotCount + 1]) nodeValue[node] = automaton.accepts(states[node]) ? 1 : 0;
    /** A node whose only way on is to leave slots empty is skipped by the edges that lead to it. */
    const skip = Int32Array.from({ length: states.length }, (_, node) => node);
    for (let slot = slotCount; slot >= 1; slot--) {
      const couldStand = pieces.some((piece) => piece.permittedBottoms[slot] === 1);
      for (const node of layers[slot]) {
        let sum = 0;
        let onlyEmpty = true;
        for (let edge = edgeStart[node]; edge < edgeStart[node + 1]; edge++) {
          let value = nodeValue[edgeTarget[edge]];
          if (weights !== null && edgePiece[edge] >= 0) value *= weights.placed;
          if (weights !== null && edgePiece[edge] < 0 && couldStand) value *= weights.left;
          edgeValue[edge] = value;
          edgeTarget[edge] = skip[edgeTarget[edge]];
          sum += value;
          if (value > 0 && edgePiece[edge] >= 0) onlyEmpty = false;
        }
        nodeValue[node] = sum;
        if (onlyEmpty && sum > 0) skip[node] = edgeTarget[edgeStart[node]];
      }
    }
  }
}

/** Finds the node of a (slot, state). */
export interface NodeIndex {
  /** −1 where there is none. */
  get(slot: number, state: number): number;
  set(slot: number, state: number, node: number): void;
}

export function nodeIndex(slotCount: number, stateCount: number): NodeIndex {
  const size = (slotCount + 2) * stateCount;
  if (size <= DENSE_INDEX_LIMIT) {
    const nodes = new Int32Array(size).fill(-1);
    return {
      get: (slot, state) => nodes[slot * stateCount + state],
      set: (slot, state, node) => {
        nodes[slot * stateCount + state] = node;
      },
    };
  }
  const layers = Array.from({ length: slotCount + 2 }, () => new Map<number, number>());
  return {
    get: (slot, state) => layers[slot].get(state) ?? -1,
    set: (slot, state, node) => {
      layers[slot].set(state, node);
    },
  };
}
