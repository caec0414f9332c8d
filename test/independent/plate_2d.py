"""One pole of a rack as a plate in two dimensions, height times depth, by finite elements (scikit-fem).

Reads a JSON list of cases on standard input (SI units, kelvin) and writes the answers to standard output. Each contact
is a patch of given height at the front edge, in the middle of its slot; its current and its heat pass the patch evenly.
The plates of a pole carry equal shares, so that they are one plate of their thickness together. Currents of the
contacts are given; films and air are those of electro_thermal.py.

Unknowns are the potential, div(thickness/resistivity(T) grad V) = 0, and the temperature,
div(k thickness grad T) + thickness |grad V|^2 / resistivity(T) = loss(T), in turn until both stand still.
"""

import json
import sys

import numpy as np
from scipy.sparse.linalg import splu
from skfem import Basis, BilinearForm, ElementQuad2, FacetBasis, LinearForm, MeshQuad, asm
from skfem.helpers import dot, grad

from electro_thermal import SIGMA, Case, film

LONGEST_ELEMENT = 0.02  # m, towards the back edge


def graded(length, first, growth):
    """Points from 0 to length, the first step given, each next one longer up to LONGEST_ELEMENT."""
    points, step = [0.0], first
    while points[-1] < length:
        points.append(points[-1] + step)
        step = min(step * growth, LONGEST_ELEMENT)
    return np.array(points) * (length / points[-1])


@BilinearForm
def stiffness(u, v, w):
    return w["factor"] * dot(grad(u), grad(v))


@BilinearForm
def mass(u, v, w):
    return w["factor"] * u * v


@LinearForm
def load(v, w):
    return w["factor"] * v


class Plate:
    """The plate of one pole and its mesh; `pieces` elements along a patch, in proportion everywhere else."""

    def __init__(self, case, pieces):
        self.case = Case(case)
        self.pole, self.patch = case["pole"], case["patchHeight"]
        rack, pole = self.case.rack, self.case.poles[self.pole]
        if len(pole["sections"]) != 1:
            raise ValueError("plate_2d: the pole must have one section")
        self.rack, self.section, self.joints = rack, pole["sections"][0], pole["joints"]
        plates = self.section["plates"]
        self.depth = plates["depth"]
        self.thickness = plates["count"] * plates["thickness"] * self.case.build["areaFactor"]
        pitch, half = rack["pitch"], self.patch / 2
        first = self.patch / pieces
        beside = graded(pitch / 2 - half, 1.2 * first, 1.5)
        inside = np.linspace(-half, half, pieces + 1)
        slot = np.unique(np.round(np.concatenate([-half - beside, inside, half + beside]), 12))
        heights = np.unique(np.round(
            ((np.arange(rack["slotCount"])[:, None] + 0.5) * pitch + slot[None, :]).ravel(), 9))
        mesh = MeshQuad.init_tensor(graded(self.depth, first, 1.35), heights)
        edges = mesh.boundary_facets()
        x, z = mesh.p[:, mesh.facets].mean(axis=1)
        front, back = (edges[np.abs(x[edges] - at) < 1e-9] for at in (0.0, self.depth))
        off = np.abs(z[front] / pitch - np.floor(z[front] / pitch) - 0.5) * pitch
        element = ElementQuad2()
        self.inside = Basis(mesh, element, intorder=4)
        self.edges = FacetBasis(mesh, element, facets=np.concatenate([front, back]), intorder=4)
        self.patches = FacetBasis(mesh, element, facets=front[off < half], intorder=4)
        self.row = self.joint_rows(mesh, heights)
        x, z = self.inside.doflocs
        self.slot_of_dof = self.slot_at(z)
        # The rise counts over a patch's height in the middle of each slot, where the slot's air is that of the ladder.
        self.middle = np.abs(z - (self.slot_of_dof + 0.5) * pitch) < half + 1e-9
        self.line = np.abs(z - (self.slot_of_dof + 0.5) * pitch) < 1e-9
        self.conduction = asm(stiffness, self.inside, factor=self.inside.zeros()[0]
                              + self.section["material"]["thermalConductivity"] * self.thickness)
        self.mean_weights = self.line_means()

    def slot_at(self, z):
        return np.clip(np.floor(z / self.rack["pitch"]).astype(int), 0, self.rack["slotCount"] - 1)

    def joint_rows(self, mesh, heights):
        """Ohm metre added to the resistivity by joints, [element]: the row of elements above a joint carries it."""
        extra = np.zeros(mesh.t.shape[1])
        centre = mesh.p[1, mesh.t].mean(axis=0)
        for joint in self.joints:
            at = np.searchsorted(heights, joint["aboveSlot"] * self.rack["pitch"] - 1e-9)
            low, high = heights[at], heights[at + 1]
            row = (centre > low) & (centre < high)
            extra[row] += joint["resistance"] * self.thickness * self.depth / (high - low)
        return extra

    def line_means(self):
        """Simpson's rule over the depth at mid-height, [slot]: (degrees of freedom, weights)."""
        found = []
        for s in range(self.rack["slotCount"]):
            dofs = np.flatnonzero(self.line & (self.slot_of_dof == s))
            x = self.inside.doflocs[0, dofs]
            order = np.argsort(x)
            dofs, x = dofs[order], x[order]
            # Nodes come as vertex, middle, vertex of each element.
            step = x[2::2] - x[:-2:2]
            weight = np.zeros(len(x))
            weight[:-2:2] += step / 6
            weight[1::2] += 4 * step / 6
            weight[2::2] += step / 6
            found.append((dofs, weight / self.depth))
        return found

    def resistivity(self, t):
        material = self.section["material"]
        rho = material["resistivity20"] * (1 + material["temperatureCoefficient"] * (t - 293.15))
        return rho + self.row[:, None]

    def face_loss(self, t, air, around):
        """W per square metre of plate, both sides together."""
        films, section, gaps = self.rack["films"], self.section, self.section["plates"]["count"] - 1
        factor = films["factor"] * self.case.build["filmFactor"]
        lost = section["openFaces"] * factor * film(films["outerFaces"], section, self.rack, t, air) * (t - air)
        if gaps > 0:
            lost += 2 * gaps * factor * film(films["facingFaces"], section, self.rack, t, air) * (t - air)
        return lost + section["openFaces"] * self.emissivity() * SIGMA * (t**4 - around**4)

    def edge_loss(self, t, air, around):
        """W per metre of one edge."""
        films, section, plates = self.rack["films"], self.section, self.section["plates"]
        metal = plates["count"] * plates["thickness"]
        factor = films["factor"] * self.case.build["filmFactor"]
        lost = metal * factor * film(films["edges"], section, self.rack, t, air) * (t - air)
        width = metal + (plates["count"] - 1) * plates["gap"]
        return lost + width * self.emissivity() * SIGMA * (t**4 - around**4)

    def emissivity(self):
        given = self.case.build["emissivity"]
        return self.section["emissivity"] if given is None else given

    def contacts(self, currents, scale, air):
        """A and W into the plate, W/K to the unit and K of the unit's end, [slot]."""
        amperes, watts, conductance = np.zeros((3, self.rack["slotCount"]))
        end = air.copy()
        for unit, current in zip(self.case.units, currents):
            s, i = unit["contactSlot"] - 1, scale * current
            amperes[s] += (1 if (unit["kind"] == "load") == (self.pole == 1) else -1) * i
            watts[s] += i**2 * self.case.contact(unit, self.pole) * unit["contactHeatShare"]
            conductance[s] += unit["heatConductance"]
            end[s] += unit["heatRise"]
        return amperes, watts, conductance, end

    def solve(self, currents, scale, power, start=None):
        """Potential and temperature with all currents and the air's exhaust rise scaled."""
        air_of = self.case.air(power * scale)
        amperes, watts, conductance, end = self.contacts(currents, scale, air_of)
        around_of = air_of if self.rack["air"]["surroundings"] is None else np.full_like(
            air_of, self.rack["air"]["surroundings"])
        slots = self.slot_at(self.patches.global_coordinates()[1])
        into = asm(load, self.patches, factor=amperes[slots] / self.patch)
        heat = asm(load, self.patches, factor=(watts + conductance * end)[slots] / self.patch)
        fixed = self.conduction + asm(mass, self.patches, factor=conductance[slots] / self.patch)
        places = [(basis, loss, self.slot_at(basis.global_coordinates()[1])) for basis, loss in
                  ((self.inside, self.face_loss), (self.edges, self.edge_loss))]
        t = np.full(self.inside.N, air_of.mean() + 20.0) if start is None else start.copy()
        for _ in range(30):
            rho = self.resistivity(self.at(self.inside, t))
            v = self.potential(rho, into)
            gradient = self.inside.interpolate(v).grad
            joule = asm(load, self.inside, factor=self.thickness * (gradient**2).sum(axis=0) / rho)
            residual = heat + joule - fixed @ t
            matrix = fixed.copy()
            for basis, loss, s in places:
                here = self.at(basis, t)
                lost = loss(here, air_of[s], around_of[s])
                slope = (loss(here + 1e-3, air_of[s], around_of[s]) - lost) / 1e-3
                residual -= asm(load, basis, factor=lost)
                matrix = matrix + asm(mass, basis, factor=slope)
            step = solve_symmetric(matrix, residual)
            t += step
            if np.abs(step).max() < 1e-6:
                return t, v, air_of, joule.sum()
        raise RuntimeError("plate_2d: temperatures did not settle")

    def at(self, basis, field):
        return np.asarray(basis.interpolate(field))

    def potential(self, rho, into):
        matrix = asm(stiffness, self.inside, factor=self.thickness / rho).tocsc()
        v = np.zeros(self.inside.N)
        v[1:] = solve_symmetric(matrix[1:, 1:], into[1:])
        return v

    def above_mean(self, field):
        """Front edge at mid-height of each slot above the depth's mean there, [slot]."""
        front = np.flatnonzero(self.line & (self.inside.doflocs[0] < 1e-9))
        front = front[np.argsort(self.slot_of_dof[front])]
        return field[front] - np.array([weights @ field[dofs] for dofs, weights in self.mean_weights])

    def describe(self, t, air):
        """Rises above the slots' air: largest in the middle of each slot, and the depth's mean there."""
        rise = t - air[self.slot_of_dof]
        largest = np.full(self.rack["slotCount"], -np.inf)
        np.maximum.at(largest, self.slot_of_dof[self.middle], rise[self.middle])
        mean = np.array([weights @ rise[dofs] for dofs, weights in self.mean_weights])
        return largest, mean

    def rated_scale(self, currents, power, limit, t):
        """Factor on all currents at which the largest rise meets the limit, by secant steps."""
        def excess(scale):
            nonlocal t
            t, _, air, _ = self.solve(currents, scale, power, t)
            return self.describe(t, air)[0].max() - limit
        a, b = 1.0, 0.98
        fa, fb = excess(a), excess(b)
        while abs(fb) > 1e-4:
            a, b, fa = b, b - fb * (b - a) / (fb - fa), fb
            fb = excess(b)
        return b


def solve_symmetric(matrix, right):
    return splu(matrix.tocsc(), permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0,
                options={"SymmetricMode": True}).solve(right)


def main():
    answers = []
    for case in json.load(sys.stdin):
        coarse, fine = (Plate(case, pieces) for pieces in case["pieces"])
        t, v, air, joule = coarse.solve(case["currents"], 1.0, case["power"])
        largest, mean = coarse.describe(t, air)
        answer = {
            "largestRise": largest.tolist(), "meanRise": mean.tolist(), "jouleHeat": float(joule),
            "potentialAboveMean": coarse.above_mean(v).tolist(),
        }
        if case["limit"] is not None:
            answer["ratedScale"] = coarse.rated_scale(case["currents"], case["power"], case["limit"], t)
        t, v, air, _ = fine.solve(case["currents"], 1.0, case["power"])
        answer["fineLargestRise"] = fine.describe(t, air)[0].tolist()
        answers.append(answer)
    json.dump(answers, sys.stdout)


if __name__ == "__main__":
    main()
