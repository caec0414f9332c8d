"""The whole nonlinear system of a rack, unreduced, solved by SciPy.

Reads a JSON list of cases on standard input (SI units, kelvin) and writes the answers to standard output. Unknowns are
both poles' potentials, every load's and source's current and both poles' temperatures, all at once; nothing of the
TypeScript solver's reductions is used. Films are written from the textbooks named beside them.
"""

import json
import sys
from functools import lru_cache

import numpy as np
from scipy.optimize import root

SIGMA = 5.670374e-8


def pressure(altitude):
    """ISO 2533:1975."""
    return 101325.0 * (1 - 2.25577e-5 * altitude) ** 5.25588


def air(t, p):
    """Ideal gas with Sutherland's laws (White, Viscous Fluid Flow, tables 1-2 and 1-3)."""
    rho = p / (287.05287 * t)
    k = 0.0241 * (t / 273.0) ** 1.5 * (273.0 + 194.0) / (t + 194.0)
    mu = 1.716e-5 * (t / 273.0) ** 1.5 * (273.0 + 111.0) / (t + 111.0)
    nu = mu / rho
    alpha = k / (rho * 1007.0)
    return k, nu, nu / alpha, 9.80665 / (t * nu * alpha)


def film(model, section, rack, t, t_air):
    """Film coefficient of a vertical face, W/(m2 K)."""
    theta = np.abs(t - t_air)
    height = rack["slotCount"] * rack["pitch"]
    p = pressure(rack["air"]["altitude"])
    k, nu, pr, ra = air(0.5 * (t + t_air), p)
    kind = model["model"]
    if kind == "fixed":
        return np.full_like(t, model["coefficient"])
    if kind == "handbook":
        return 7.66 * (theta / (1000 * height)) ** 0.25 * np.sqrt(p / 101325.0)
    # Churchill & Chu 1975, eq. 9
    still = k / height * (
        0.825 + 0.387 * (ra * theta * height**3) ** (1 / 6) / (1 + (0.492 / pr) ** (9 / 16)) ** (8 / 27)
    ) ** 2
    if kind == "still-air":
        return still
    if kind == "slender-still-air":
        # Popiel, Wojtkowiak & Bober 2007
        plates = section["plates"]
        girth = 2 * (plates["depth"] + plates["count"] * plates["thickness"] + (plates["count"] - 1) * plates["gap"])
        grashof = ra * theta * height**3 / pr
        b = 0.0571322 + 0.20305 * pr**-0.43
        c = 0.9165 - 0.0043 * np.sqrt(pr) + 0.01333 * np.log(pr) + 0.0004809 / pr
        return still * (1 + b * (np.sqrt(32) * grashof**-0.25 * np.pi * height / girth) ** c)
    if kind == "channel":
        # Bar-Cohen & Rohsenow 1984
        gap = section["plates"]["gap"]
        el = ra * theta * gap**4 / height
        with np.errstate(divide="ignore"):
            nusselt = np.where(el > 0, (576 / el**2 + 2.873 / np.sqrt(el)) ** -0.5, 0.0)
        return k / gap * nusselt
    if kind == "moving-air":
        # Incropera, eqs. 7.30 and 7.38; blended by the cube rule
        depth = section["plates"]["depth"]
        re = model["speed"] * depth / nu
        nusselt = np.where(re <= 5e5, 0.664 * np.sqrt(re), 0.037 * re**0.8 - 871.0) * np.cbrt(pr)
        forced = k / depth * nusselt
        return np.cbrt(still**3 + forced**3)
    raise ValueError(kind)


@lru_cache(maxsize=None)
def own_patch(ratio):
    """Mean over a patch and at its middle of the patch's own potential, from its height over the depth."""
    orders = np.arange(1, 200001)
    q = orders * np.pi * ratio
    # What the series has beyond the last order is its integral, with e^-q gone.
    tail = 2 / (np.pi**2 * ratio) / (orders[-1] + 0.5)
    mean = (2 * (q + np.expm1(-q)) / q**2 / (orders * np.pi)).sum() + tail
    middle = (-2 * np.expm1(-q / 2) / q / (orders * np.pi)).sum() + tail
    return mean - ratio / 6, middle - ratio / 8


class Case:
    def __init__(self, case):
        self.rack = rack = case["rack"]
        self.build = build = case["scenario"]["build"]
        self.n = n = rack["slotCount"]
        self.units = case["scenario"]["units"]
        self.loads = [u for u in self.units if u["kind"] == "load"]
        everyone = [u for u in self.units if u["kind"] != "load"]
        self.sources = [u for u, on in zip(everyone, case["active"]) if on]
        self.total = sum(u["power"] for u in self.loads)
        self.poles = [rack["supply"], rack["return"]]
        self.sections = [
            [next(s for s in pole["sections"] if s["fromSlot"] <= i + 1 <= s["toSlot"]) for i in range(n)]
            for pole in self.poles
        ]
        half = rack["pitch"] / 2
        self.r20 = np.zeros((2, n - 1, 2))
        self.alpha = np.zeros((2, n - 1, 2))
        self.joint = np.zeros((2, n - 1))
        self.conductance = np.zeros((2, n - 1))
        for p, pole in enumerate(self.poles):
            for i in range(n - 1):
                thermal = 0.0
                for side in (0, 1):
                    section = self.sections[p][i + side]
                    plates = section["plates"]
                    area = plates["count"] * plates["depth"] * plates["thickness"] * build["areaFactor"]
                    self.r20[p, i, side] = section["material"]["resistivity20"] * half / area
                    self.alpha[p, i, side] = section["material"]["temperatureCoefficient"]
                    thermal += half / (section["material"]["thermalConductivity"] * area)
                self.conductance[p, i] = 1 / thermal
            for joint in pole["joints"]:
                self.joint[p, joint["aboveSlot"] - 1] += joint["resistance"]
        self.spread = [self.spreading(p) for p in (0, 1)]
        self.inlet = build["inlet"] if build["inlet"] is not None else rack["air"]["inlet"]
        self.scale = np.concatenate([
            np.full(2 * n, 1.0), np.full(len(self.loads) + len(self.sources), 100.0), np.full(2 * n, 10.0)
        ])

    def spreading(self, p):
        """Of one pole: potential at the contacts (voltage) and heat at all slots (hot) felt from the contacts at the
        front edge, [slot, slot], by the Fourier series of a strip, term by term; contacts further away than one and a
        half depths are not felt. A patch's own term is the series less what the ladder's line already counts."""
        n, pitch = self.n, self.rack["pitch"]
        depth = np.array([s["plates"]["depth"] for s in self.sections[p]])
        voltage, hot = np.zeros((2, n, n))
        heights = {u["contactSlot"] - 1: u["contactEdgeHeight"] for u in self.units if u["contactEdgeHeight"] > 0}
        few = np.arange(1, 400)
        for k in heights:
            for j in range(n):
                w = 0.5 * (depth[j] + depth[k])
                ways = [(j + k + 1) * pitch, (2 * n - j - k - 1) * pitch] + ([abs(j - k) * pitch] if j != k else [])
                hot[j, k] = sum((np.exp(-few * np.pi * d / w) / (few * np.pi)).sum() for d in ways if d <= 1.5 * w)
                if j in heights:
                    voltage[j, k] = hot[j, k]
            mean, middle = own_patch(min(heights[k], depth[k]) / depth[k])
            voltage[k, k] += mean
            hot[k, k] += middle
        return voltage, hot

    def sheet(self, p, t):
        """Sheet resistance, ohm, and sheet conductance, W/K, of all plates together, [slot]."""
        material = [s["material"] for s in self.sections[p]]
        thickness = np.array([
            s["plates"]["count"] * s["plates"]["thickness"] * self.build["areaFactor"] for s in self.sections[p]])
        rho = np.array([m["resistivity20"] * (1 + m["temperatureCoefficient"] * (x - 293.15)) for m, x in zip(material, t)])
        return rho / thickness, np.array([m["thermalConductivity"] for m in material]) * thickness

    def at_edge(self, load, source):
        """A into the supply pole at the front edge, [slot]."""
        into = np.zeros(self.n)
        for units, currents, sign in ((self.loads, load, -1), (self.sources, source, 1)):
            for u, i in zip(units, currents):
                if u["contactEdgeHeight"] > 0:
                    into[u["contactSlot"] - 1] += sign * i
        return into

    def edge_voltage(self, p, into, t):
        """V of the contacts of one pole beyond the mean over the depth, counted as for the supply pole, [slot]."""
        return self.sheet(p, t)[0] * (self.spread[p][0] @ into)

    def hot_spots(self, p, load, source, t, t_air):
        """K, front edge above the mean over the depth, [slot]."""
        into = self.at_edge(load, source)
        heat = into * self.edge_voltage(p, into, t)
        for u, i in list(zip(self.loads, load)) + list(zip(self.sources, source)):
            if u["contactEdgeHeight"] > 0:
                heat[u["contactSlot"] - 1] += i**2 * self.contact(u, p) * u["contactHeatShare"]
        for u in self.units:
            if u["contactEdgeHeight"] > 0:
                s = u["contactSlot"] - 1
                heat[s] += u["heatConductance"] * (t_air[s] + u["heatRise"] - t[s])
        return np.maximum(0, self.spread[p][1] @ heat / self.sheet(p, t)[1])

    def contact(self, unit, pole):
        return unit["contactResistance"][pole] * self.build["contactFactor"]

    def air(self, power):
        t = self.inlet + np.array(self.rack["air"]["profile"], float)
        for u in self.loads:
            rise = self.rack["air"]["exhaustRise"] * power * u["power"] / self.total / u["heightSlots"]
            t[u["bottomSlot"] - 1 : u["bottomSlot"] - 1 + u["heightSlots"]] += rise
        return t

    def split(self, x):
        n, k, m = self.n, len(self.loads), len(self.sources)
        v = x[: 2 * n].reshape(2, n)
        load = x[2 * n : 2 * n + k]
        source = x[2 * n + k : 2 * n + k + m]
        t = x[2 * n + k + m : 4 * n + k + m].reshape(2, n)
        return v, load, source, t

    def resistance(self, p, t):
        mean = 0.5 * (t[:-1] + t[1:])
        return (self.r20[p] * (1 + self.alpha[p] * (mean[:, None] - 293.15))).sum(axis=1) + self.joint[p]

    def equations(self, x, power):
        rack, n = self.rack, self.n
        v, load, source, t = self.split(x)
        out = []
        segment = []
        into = self.at_edge(load, source)
        beyond = [self.edge_voltage(p, into, t[p]) for p in (0, 1)]
        edge = beyond[0] + beyond[1]
        for p in (0, 1):
            current = (v[p, :-1] - v[p, 1:]) / self.resistance(p, t[p])
            segment.append(current)
            balance = np.zeros(n)
            balance[:-1] -= current
            balance[1:] += current
            sign = 1 if p == 0 else -1
            for u, i in zip(self.loads, load):
                balance[u["contactSlot"] - 1] -= sign * i
            for u, j in zip(self.sources, source):
                balance[u["contactSlot"] - 1] += sign * j
            if p == 1:
                # The potentials' zero; the current balance left out follows from all the others.
                balance[0] = v[1, 0]
            out.append(balance)
        for u, i in zip(self.loads, load):
            s = u["contactSlot"] - 1
            terminal = v[0, s] - v[1, s] + edge[s] - i * (self.contact(u, 0) + self.contact(u, 1))
            out.append([terminal * i / 50.0 - power * u["power"] / self.total / 50.0])
        terminal = [
            v[0, u["contactSlot"] - 1] - v[1, u["contactSlot"] - 1] + edge[u["contactSlot"] - 1]
            + j * (self.contact(u, 0) + self.contact(u, 1))
            for u, j in zip(self.sources, source)
        ]
        if rack["sharing"]["model"] == "droop":
            for u, j, e in zip(self.sources, source, terminal):
                out.append([e + j * u["droopResistance"] - rack["setVoltage"]])
        else:
            for a, b, ja, jb in zip(self.sources, self.sources[1:], source, source[1:]):
                out.append([ja / a["sharingWeight"] - jb / b["sharingWeight"]])
            out.append([np.mean(terminal) - rack["setVoltage"]])
        t_air = self.air(power)
        around = rack["air"]["surroundings"]
        around = t_air if around is None else np.full(n, around)
        films = rack["films"]
        factor = films["factor"] * self.build["filmFactor"]
        for p in (0, 1):
            heat = np.zeros(n)
            joule = 0.5 * segment[p] ** 2 * self.resistance(p, t[p])
            flow = self.conductance[p] * (t[p, :-1] - t[p, 1:])
            heat[:-1] += joule - flow
            heat[1:] += joule + flow
            heat += into * beyond[p]
            for u, i in list(zip(self.loads, load)) + list(zip(self.sources, source)):
                heat[u["contactSlot"] - 1] += i**2 * self.contact(u, p) * u["contactHeatShare"]
            for u in self.units:
                s = u["contactSlot"] - 1
                heat[s] += u["heatConductance"] * (t_air[s] + u["heatRise"] - t[p, s])
            for section in self.poles[p]["sections"]:
                part = slice(section["fromSlot"] - 1, section["toSlot"])
                plates = section["plates"]
                gaps = plates["count"] - 1
                faces = [
                    (films["outerFaces"], section["openFaces"] * plates["depth"]),
                    (films["edges"], 2 * plates["count"] * plates["thickness"]),
                    (films["facingFaces"], 2 * gaps * plates["depth"]),
                ]
                lost = np.zeros(section["toSlot"] - section["fromSlot"] + 1)
                for model, area in faces:
                    if area > 0:
                        h = film(model, section, rack, t[p, part], t_air[part])
                        lost += factor * area * h * (t[p, part] - t_air[part])
                envelope = section["openFaces"] * plates["depth"] + 2 * (
                    plates["count"] * plates["thickness"] + gaps * plates["gap"]
                )
                emissivity = self.build["emissivity"]
                emissivity = section["emissivity"] if emissivity is None else emissivity
                lost += emissivity * SIGMA * envelope * (t[p, part] ** 4 - around[part] ** 4)
                heat[part] -= rack["pitch"] * lost
            out.append(heat)
        return np.concatenate([np.ravel(o) for o in out])

    def start(self, power):
        current = power / self.rack["setVoltage"]
        t_air = self.air(power)
        return np.concatenate([
            np.full(self.n, self.rack["setVoltage"]), np.zeros(self.n),
            [current * u["power"] / self.total for u in self.loads],
            np.full(len(self.sources), current / len(self.sources)),
            t_air + 15.0, t_air + 15.0,
        ])

    def solve(self, power):
        found = root(
            lambda y: self.equations(y * self.scale, power), self.start(power) / self.scale, method="hybr",
            options={"xtol": 1e-12, "maxfev": 20000, "factor": 1.0},
        )
        # From its answer once more: the first call stops where its own steps are small, not the equations.
        found = root(lambda y: self.equations(y * self.scale, power), found.x, method="hybr", options={"xtol": 1e-13})
        x = found.x * self.scale
        worst = np.abs(self.equations(x, power)).max()
        if worst > 2e-5:  # A and W; potentials divided by micro-ohms round at this size
            raise RuntimeError(f"SciPy did not converge: {worst} ({found.message})")
        return x

    def utilisation(self, x, power):
        rack, limits = self.rack, self.rack["limits"]
        v, load, source, mean = self.split(x)
        t_air = self.air(power)
        t = mean + np.array([self.hot_spots(p, load, source, mean[p], t_air) for p in (0, 1)])
        use = [np.max((t - t_air) / limits["barRise"]), np.max((t - self.cold()) / (limits["barTemperature"] - self.cold()))]
        into = self.at_edge(load, source)
        edge = self.edge_voltage(0, into, mean[0]) + self.edge_voltage(1, into, mean[1])
        for u, i in list(zip(self.loads, load)) + list(zip(self.sources, source)):
            s = u["contactSlot"] - 1
            contact = i * (self.contact(u, 0) + self.contact(u, 1))
            for p in (0, 1):
                spot = t[p, s] + i**2 * self.contact(u, p) * u["contactThermalResistance"]
                base = self.cold()[s]
                use.append((spot - base) / (limits["contactTemperature"] - base))
            if u["kind"] == "load":
                drop = rack["setVoltage"] - (v[0, s] - v[1, s] + edge[s] - contact)
                use.append(drop / (rack["setVoltage"] - limits["lowestLoadVoltage"]))
        return max(use)

    def cold(self):
        return self.inlet + np.array(self.rack["air"]["profile"], float)

    def rated(self, low, high):
        """The power at which the first limit is met, by secant steps from two powers beside it."""
        f = lambda power: self.utilisation(self.solve(power), power) - 1
        a, b, fa, fb = low, high, f(low), f(high)
        for _ in range(30):
            c = b - fb * (b - a) / (fb - fa)
            a, fa, b = b, fb, c
            fb = f(b)
            if abs(b - a) < 1e-9 * b:
                return b
        raise RuntimeError("secant did not close")


def main():
    answers = []
    for case in json.load(sys.stdin):
        system = Case(case)
        v, load, source, t = system.split(system.solve(case["power"]))
        hot = [t[p] + system.hot_spots(p, load, source, t[p], system.air(case["power"])) for p in (0, 1)]
        answer = {
            "supplyTemperature": t[0].tolist(), "returnTemperature": t[1].tolist(),
            "supplyHottest": hot[0].tolist(), "returnHottest": hot[1].tolist(),
            "voltage": (v[0] - v[1]).tolist(), "loadCurrent": load.tolist(), "sourceCurrent": source.tolist(),
        }
        if case["rate"]:
            # Two powers on the two sides of nothing in particular: what comes out does not depend on them.
            answer["ratedPower"] = system.rated(0.93 * case["power"], 1.04 * case["power"])
        answers.append(answer)
    json.dump(answers, sys.stdout)


if __name__ == "__main__":
    main()
