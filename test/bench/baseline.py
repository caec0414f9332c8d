"""Rated powers as an engineer would write them down with NumPy and SciPy: Brent's method on the power; within it
temperatures by Newton's method with banded solves, and currents by repeated substitution.

Usage: baseline.py INPUT, a JSON file `{"rack", "scenarios"}` (SI units, kelvin; equal sharing, power shelves in
service). Writes one JSON line with the rated powers, W; then answers each line on standard input with a JSON line:
seconds of a pass over all scenarios and of the stages within it.

Films: Churchill & Chu 1975, eq. 9 (vertical plate); Bar-Cohen & Rohsenow 1984 (facing plates); air as an ideal gas with
Sutherland's laws (White, Viscous Fluid Flow, tables 1-2 and 1-3). Spreading: the strip's series in closed form (Carslaw
& Jaeger 1959, 5.3).
"""

import json
import sys
from time import perf_counter

import numpy as np
from scipy.linalg import solve_banded
from scipy.optimize import brentq

SIGMA = 5.670374e-8
REACH = 1.5


def air_properties(t, pressure):
    density = pressure / (287.05287 * t)
    k = 0.0241 * (t / 273.0) ** 1.5 * (273.0 + 194.0) / (t + 194.0)
    nu = 1.716e-5 * (t / 273.0) ** 1.5 * (273.0 + 111.0) / (t + 111.0) / density
    alpha = k / (density * 1007.0)
    return k, nu / alpha, 9.80665 / (t * nu * alpha)


def plate(t, t_air, height, pressure):
    k, pr, ra = air_properties(0.5 * (t + t_air), pressure)
    rayleigh = ra * np.abs(t - t_air) * height**3
    return k / height * (0.825 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.492 / pr) ** (9 / 16)) ** (8 / 27)) ** 2


def channel(t, t_air, height, gap, pressure):
    k, _, ra = air_properties(0.5 * (t + t_air), pressure)
    elenbaas = ra * np.abs(t - t_air) * gap**4 / height
    return k / gap * elenbaas / np.sqrt(576 + 2.873 * elenbaas**1.5)


class Stopwatch:
    def __init__(self):
        self.seconds = {}

    def add(self, stage, since):
        now = perf_counter()
        self.seconds[stage] = self.seconds.get(stage, 0.0) + now - since
        return now


class Bar:
    """What belongs to the rack: two poles of one section each."""

    def __init__(self, rack):
        self.rack = rack
        self.n = n = rack["slotCount"]
        self.pitch = rack["pitch"]
        self.set_voltage = rack["setVoltage"]
        self.limits = {name: np.inf if value is None else value for name, value in rack["limits"].items()}
        self.height = n * self.pitch
        self.pressure = 101325.0 * (1 - 2.25577e-5 * rack["air"]["altitude"]) ** 5.25588
        sections = [rack[pole]["sections"] for pole in ("supply", "return")]
        films = rack["films"]
        if [len(s) for s in sections] != [1, 1]:
            raise ValueError(f"poles of {[len(s) for s in sections]} sections: one each is known here")
        if [films[f]["model"] for f in ("outerFaces", "edges", "facingFaces")] != ["still-air", "still-air", "channel"]:
            raise ValueError("films: still air and facing plates are known here")
        if rack["sharing"]["model"] != "equal":
            raise ValueError("equal sharing is known here")
        self.section = sections[0][0]
        if {**self.section, "material": 0} != {**sections[1][0], "material": 0}:
            raise ValueError("poles that differ are not known here")
        plates = self.section["plates"]
        self.thickness = plates["count"] * plates["thickness"]
        self.depth = plates["depth"]
        self.gap = plates["gap"]
        gaps = plates["count"] - 1
        open_faces = self.section["openFaces"]
        self.plate_area = open_faces * self.depth + 2 * self.thickness
        self.channel_area = 2 * gaps * self.depth
        self.envelope = self.plate_area + 2 * gaps * self.gap
        self.joint = np.zeros((2, n - 1))
        for p, pole in enumerate(("supply", "return")):
            for joint in rack[pole]["joints"]:
                self.joint[p, joint["aboveSlot"] - 1] += joint["resistance"]
        z = (np.arange(n) + 0.5) * self.pitch
        ways = np.array([np.abs(z[:, None] - z), z[:, None] + z, 2 * self.height - z[:, None] - z])
        with np.errstate(divide="ignore"):
            felt = -np.log(-np.expm1(-np.pi * ways / self.depth)) / np.pi
        felt[ways > REACH * self.depth] = 0
        np.fill_diagonal(felt[0], 0)
        self.felt = felt.sum(axis=0)


class Placement:
    """One scenario laid out slot by slot; `[pole, slot]` or `[slot]`."""

    def __init__(self, bar, scenario, watch):
        since = perf_counter()
        self.bar, self.watch = bar, watch
        n, rack = bar.n, bar.rack
        build = scenario["build"]
        self.film_factor = rack["films"]["factor"] * build["filmFactor"]
        self.emissivity = bar.section["emissivity"] if build["emissivity"] is None else build["emissivity"]
        inlet = rack["air"]["inlet"] if build["inlet"] is None else build["inlet"]
        self.air_base = inlet + np.array(rack["air"]["profile"])
        self.air_slope = np.zeros(n)
        units = scenario["units"]
        total = sum(u["power"] for u in units if u["kind"] == "load")
        self.share, self.weight = np.zeros(n), np.zeros(n)
        self.contact = np.zeros((2, n))
        self.thermal, self.heat_share, height = np.zeros(n), np.zeros(n), np.zeros(n)
        self.conductance, self.end_rise = np.zeros(n), np.zeros(n)
        self.max_current, self.max_power = np.full(n, np.inf), np.full(n, np.inf)
        for u in units:
            s = u["contactSlot"] - 1
            if u["kind"] == "load":
                self.share[s] = u["power"] / total
                slots = slice(u["bottomSlot"] - 1, u["bottomSlot"] + u["heightSlots"] - 1)
                self.air_slope[slots] = rack["air"]["exhaustRise"] * self.share[s] / u["heightSlots"]
            else:
                self.weight[s] = u["sharingWeight"] if u["kind"] == "power-shelf" else 0.0
                self.max_current[s] = np.inf if u["maxCurrent"] is None else u["maxCurrent"]
                self.max_power[s] = np.inf if u["maxPower"] is None else u["maxPower"]
            self.contact[:, s] = np.array(u["contactResistance"]) * build["contactFactor"]
            self.thermal[s] = u["contactThermalResistance"]
            self.heat_share[s] = u["contactHeatShare"]
            self.conductance[s], self.end_rise[s] = u["heatConductance"], u["heatRise"]
            height[s] = u["contactEdgeHeight"]
        self.weight /= self.weight.sum()
        self.source = self.weight > 0
        self.load = self.share > 0
        self.loop_contact = self.contact.sum(axis=0)
        self.edge = height > 0
        square = (np.pi * np.minimum(1, np.where(self.edge, height, bar.depth) / bar.depth)) ** 2
        mean = -0.5 * np.log(square) + 1.5 - square / 144 + square**2 / 43200 - square**3 / 5080320
        middle = -0.5 * np.log(square / 4) + 1 - square / 288 + square**2 / 230400 - square**3 / 81285120
        self.patch_mean, self.patch_middle = mean / np.pi * self.edge, middle / np.pi * self.edge
        material = bar.section["material"]
        area = build["areaFactor"] * bar.depth * bar.thickness
        self.r20 = material["resistivity20"] * bar.pitch / area
        self.alpha = material["temperatureCoefficient"]
        self.along = material["thermalConductivity"] * area / bar.pitch
        self.sheet20 = material["resistivity20"] / (bar.thickness * build["areaFactor"])
        self.sheet_thermal = 1 / (material["thermalConductivity"] * bar.thickness * build["areaFactor"])
        watch.add("mounting", since)

    def segment_resistance(self, t):
        mean = 0.5 * (t[:, :-1] + t[:, 1:])
        return self.r20 * (1 + self.alpha * (mean - 293.15)) + self.bar.joint

    def currents(self, power, loop, extra, voltage):
        """Repeated substitution; None where a load finds no voltage."""
        set_voltage = self.bar.set_voltage
        sources = self.source.sum()
        for _ in range(200):
            at = voltage + extra
            discriminant = at**2 - 4 * power * self.share * self.loop_contact
            if np.any(discriminant[self.load] <= 0) or np.any(at <= 0):
                return None
            load = 2 * power * self.share / (at + np.sqrt(discriminant))
            source = self.weight * load.sum()
            segment = np.cumsum(source - load)[:-1]
            drop = np.concatenate(([0.0], np.cumsum(loop * segment)))
            terminal = (-drop + extra + source * self.loop_contact)[self.source].sum() / sources
            after = set_voltage - terminal - drop
            moved = np.abs(after - voltage).max()
            voltage = after
            if moved < 1e-10:
                return load, source, segment, voltage
        return None

    def films(self, t, t_air):
        bar = self.bar
        h = bar.plate_area * plate(t, t_air, bar.height, bar.pressure)
        if bar.channel_area > 0:
            h = h + bar.channel_area * channel(t, t_air, bar.height, bar.gap, bar.pressure)
        around = self.bar.rack["air"]["surroundings"]
        around = t_air if around is None else around
        radiated = self.emissivity * SIGMA * bar.envelope * (t**4 - around**4)
        return self.film_factor * h * (t - t_air) + radiated

    def solve(self, power, t):
        """Temperatures at a power from those of a solution nearby; None past a collapse."""
        bar, watch = self.bar, self.watch
        t_air = self.air_base + self.air_slope * power
        voltage = np.full(bar.n, bar.set_voltage)
        extra = np.zeros(bar.n)
        for _ in range(60):
            since = perf_counter()
            resistance = self.segment_resistance(t)
            found = self.currents(power, resistance.sum(axis=0), extra, voltage)
            if found is None:
                return None
            load, source, segment, voltage = found
            since = watch.add("currents", since)
            into = np.where(self.edge, source - load, 0.0)
            felt = (bar.felt @ into + self.patch_mean * into) * self.edge
            sheet = self.sheet20 * (1 + self.alpha * (t - 293.15))
            spread = felt * sheet
            extra = spread.sum(axis=0)
            square = (source + load) ** 2 * self.heat_share
            patch_heat = square * self.contact + into * spread
            since = watch.add("contacts", since)
            step = 0.01
            lost = bar.pitch * self.films(t, t_air)
            slope = (bar.pitch * self.films(t + step, t_air) - lost) / step
            since = watch.add("films", since)
            joule = 0.5 * segment**2 * resistance
            flow = self.along * (t[:, :-1] - t[:, 1:])
            heat = patch_heat + self.conductance * (t_air + self.end_rise - t) - lost
            heat[:, :-1] += joule - flow
            heat[:, 1:] += joule + flow
            grown = 0.25 * segment**2 * self.r20 * self.alpha
            diagonal = slope + self.conductance - into * felt * self.sheet20 * self.alpha
            diagonal[:, :-1] += self.along - grown
            diagonal[:, 1:] += self.along - grown
            change = np.empty_like(t)
            for p in (0, 1):
                bands = np.zeros((3, bar.n))
                bands[0, 1:] = bands[2, :-1] = -self.along - grown
                bands[1] = diagonal[p]
                change[p] = solve_banded((1, 1), bands, heat[p])
            t = t + change
            watch.add("newton", since)
            if np.abs(change).max() < 1e-8:
                return t, t_air, load, source, voltage + extra, patch_heat
        return None

    def utilisation(self, power, solution):
        bar, limits = self.bar, self.bar.limits
        since = perf_counter()
        t, t_air, load, source, voltage, patch_heat = solution
        edge_heat = np.where(self.edge, patch_heat + self.conductance * (t_air + self.end_rise - t), 0.0)
        hot = t + np.maximum(0, self.sheet_thermal * (edge_heat @ bar.felt + self.patch_middle * edge_heat))
        use = [((hot - t_air) / limits["barRise"]).max()]
        use.append(((hot - self.air_base) / (limits["barTemperature"] - self.air_base)).max())
        spot = hot + (load + source) ** 2 * self.thermal * self.contact
        use.append(((spot - self.air_base) / (limits["contactTemperature"] - self.air_base)).max())
        current = source[self.source]
        delivered = current * (voltage + source * self.loop_contact)[self.source]
        use += [(current / self.max_current[self.source]).max(), (delivered / self.max_power[self.source]).max()]
        use.append((load / limits["loadContactCurrent"]).max())
        terminal = (voltage - load * self.loop_contact)[self.load]
        use.append((bar.set_voltage - terminal.min()) / (bar.set_voltage - limits["lowestLoadVoltage"]))
        self.watch.add("hotSpots", since)
        return max(use)

    def rated(self):
        last = np.tile(self.air_base + 15.0, (2, 1))

        def excess(power):
            nonlocal last
            solution = self.solve(power, last)
            if solution is None:
                return 10.0
            last = solution[0]
            return self.utilisation(power, solution) - 1

        high = 20e3
        while excess(high) < 0:
            high *= 2
        return brentq(excess, high / 2, high, xtol=1e-3, rtol=1e-9)


def rate_all(bar, scenarios):
    watch = Stopwatch()
    started = perf_counter()
    powers = [Placement(bar, scenario, watch).rated() for scenario in scenarios]
    seconds = perf_counter() - started
    stages = dict(watch.seconds)
    stages["rest"] = seconds - sum(stages.values())
    return powers, {"seconds": seconds, "stages": stages}


def main():
    with open(sys.argv[1], encoding="utf8") as file:
        given = json.load(file)
    bar = Bar(given["rack"])
    powers, _ = rate_all(bar, given["scenarios"])
    print(json.dumps(powers), flush=True)
    for _ in sys.stdin:
        print(json.dumps(rate_all(bar, given["scenarios"])[1]), flush=True)


if __name__ == "__main__":
    main()
