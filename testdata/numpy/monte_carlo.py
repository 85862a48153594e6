"""Monte Carlo of the main example, designs/agitator-tube.yaml, in vectorised numpy: an
independent statement of the model, and the measure of speed for the program's own.

Reads JSON from standard input: {"trials": N, "seed": S, "inputs": {label: [nominal,
width, form]}} with form "rectangular" (half-width) or "normal" (standard uncertainty),
nominal SI; writes JSON with the figures of both bridges and the seconds taken, by
the clock and of the processor. Trials run
in chunks that stay in the cache.
"""
import json
import sys
import time

import numpy as np

NU0 = 0.285
LOADS = ["axial", "shear-z", "torque", "bending-y", "bending-z"]
RATED = dict(zip(LOADS, [15e3, 2e3, 1200.0, 400.0, 400.0]))
FACTOR = [2.08, 2.09, 2.08]
TRANSVERSE = [0.009, 0.006, 0.009]
ACROSS = [-3.5e-3, 0.0, 3.5e-3]
ANGLE = [-45.0, 0.0, 45.0]
T0, LOW, HIGH = 20.0, -10.0, 60.0
ROWS = np.linspace(LOW, HIGH, 21)
# arms 1 to 4 as grids, or fixed resistors by their index in the file
BRIDGES = {
    "T": ("torque", ["A3", "A1", "B3", "B1"]),
    "By": ("bending-y", ["A2", "B2", 2, 3]),
}
CHUNK = 8192


def figures(x, n):
    """All figures of n trials; x(label) is an array, or a number where it is exact."""
    b = x("part.section.outside-diameter") / 2
    a = x("part.section.inside-diameter") / 2
    e, nu, alpha = x("part.material.youngs-modulus"), x("part.material.poisson-ratio"), x("part.material.expansion")
    de, dg = x("part.material.youngs-drift"), x("part.material.shear-drift")
    g = e / (2 * (1 + nu))
    a2, b2 = a * a, b * b
    area = np.pi * (b2 - a2)
    inertia = area * (a2 + b2) / 4
    k = ((3 + 2 * nu) * a2 + (1 + 2 * nu) * b2) / (4 * (1 + nu) * inertia)
    length, width = x("gauges.R.grid.length"), x("gauges.R.grid.width")
    lot = x("gauges.R.gauge-factor")
    drift = x("gauges.R.gauge-factor-drift")
    kt_lot = x("gauges.R.transverse-sensitivity")
    fi = x("gauges.R.thermal-output.for-factor")
    mismatch = alpha - x("gauges.R.thermal-output.for-expansion")

    grids = {}
    for placement in "AB":
        station, around = x(f"placements.{placement}.station"), x(f"placements.{placement}.around")
        direction = x(f"placements.{placement}.direction")
        reach = b + x(f"gauges.R.stand-off ({placement})")
        sin_p, cos_p = np.sin(direction), np.cos(direction)
        bend = reach / inertia
        for i in range(3):
            name = f"{placement}{i + 1}"
            sin_g, cos_g = np.sin(np.radians(ANGLE[i])), np.cos(np.radians(ANGLE[i]))
            s, c = sin_p * cos_g + cos_p * sin_g, cos_p * cos_g - sin_p * sin_g
            x0 = station - ACROSS[i] * sin_p
            phi = around + ACROSS[i] * cos_p / b
            wa, wb = length * s / (2 * b), width * c / (2 * b)
            qa, qb = wa * wa, wb * wb
            sa, sb = 1 - qa / 6 * (1 - qa / 20), 1 - qb / 6 * (1 - qb / 20)
            m = 0.5 * (length * c * sb * wa / 3 * (1 - qa / 10) - width * s * sa * wb / 3 * (1 - qb / 10))
            shape = sa * sb
            sp, cp = np.sin(phi), np.cos(phi)
            sin_m, cos_m = sp * shape, cp * shape
            factor = FACTOR[i] * (1 + 0.005 * lot) * (1 + x(f"gauges.R.gauge-factor-scatter ({name})"))
            kt = TRANSVERSE[i] + 0.002 * kt_lot
            gain = factor / (1 - NU0 * kt)
            s2, c2 = s * s, c * c
            normal = gain * ((c2 - nu * s2) + kt * (s2 - nu * c2)) / e
            shear = gain * s * c * (1 - kt) / g
            rows = {
                "axial": (normal / area, 0.0),
                "shear-z": (normal * bend * (x0 * sin_m + m * cp), shear * k * cos_m),
                "torque": (0.0, shear * bend / 2),
                "bending-y": (normal * bend * sin_m, 0.0),
                "bending-z": (-normal * bend * cos_m, 0.0),
            }
            r = x(f"gauges.R.resistance ({name})")
            spread = fi * x(f"gauges.R.thermal-output.spread ({name})")
            grids[name] = (r, rows, gain * (1 + kt) * mismatch + spread, spread)

    poly = np.array([x(f"gauges.R.thermal-output.celsius[{i}]") for i in range(5)])
    curve = np.polynomial.polynomial.polyval(ROWS, poly) - np.polynomial.polynomial.polyval(T0, poly)
    offset = ROWS - T0
    out = {}
    for name, (target, arms) in BRIDGES.items():
        resistance = [grids[arm][0] if isinstance(arm, str) else x(f"bridges.{name}.arms[{arm}].value") for arm in arms]
        r1, r2, r3, r4 = resistance
        p, q = r1 + r2, r3 + r4
        meter = x("instrument.input-resistance")
        loss = meter / (meter + r1 * r2 / p + r3 * r4 / q + 2 * x("leads.each"))
        p2, q2 = loss / (p * p), loss / (q * q)
        weights = [r2 * p2, -r1 * p2, r4 * q2, -r3 * q2]
        balance = loss * (r3 / q - r2 / p)
        normal = {j: 0.0 for j in LOADS}
        shear = {j: 0.0 for j in LOADS}
        slope = spread = level = 0.0
        for arm, weight, r in zip(arms, weights, resistance):
            if isinstance(arm, int):
                slope = slope + weight * r * x(f"bridges.{name}.arms[{arm}].tcr")
                continue
            c = weight * r
            level = level + c
            _, rows, thermal, own = grids[arm]
            slope = slope + c * thermal
            spread = spread + c * own
            for j in LOADS:
                normal[j] = normal[j] + c * rows[j][0]
                shear[j] = shear[j] + c * rows[j][1]
        sensitivity = {j: normal[j] + shear[j] for j in LOADS}
        s0 = sensitivity[target]
        rated = np.abs(s0) * RATED[target]
        level = level * fi * 1e-6
        low = high = level * curve[0] + slope * offset[0]
        for t, d in zip(curve[1:], offset[1:]):
            zero = level * t + slope * d
            low, high = np.minimum(low, zero), np.maximum(high, zero)
        # the span of this part is monotonic: its ends are its extremes
        ends = [(normal[target] / (1 + de * d) + shear[target] / (1 + dg * d)) * (1 + drift * d) / (1 + alpha * d) ** 3 / s0
                for d in (LOW - T0, HIGH - T0)]
        figure = {
            "sensitivity": s0, "balance": balance, "zero_drift": (high - low) / (HIGH - LOW) / rated,
            "span_drift": np.abs(ends[1] - ends[0]) / (HIGH - LOW), "zero_spread": np.abs(spread) / rated,
        }
        for j in LOADS:
            if j != target:
                figure["crosstalk " + j] = np.abs(sensitivity[j] * RATED[j]) / rated
        out[name] = figure
    return out


def shortest(v, p=0.95):
    """Shortest interval that holds the fraction p of the sorted values."""
    q = int(p * v.size)
    widths = v[q:] - v[:-q]
    i = int(np.argmin(widths))
    return [float(v[i]), float(v[i + q])]


def main():
    job = json.load(sys.stdin)
    trials, inputs = job["trials"], job["inputs"]
    rng = np.random.Generator(np.random.PCG64(job["seed"]))
    start, cpu = time.perf_counter(), time.process_time()
    columns = {}
    for begin in range(0, trials, CHUNK):
        n = min(CHUNK, trials - begin)
        drawn = {}
        for label, (nominal, width, form) in inputs.items():
            if width == 0:
                drawn[label] = nominal
            elif form == "normal":
                drawn[label] = nominal + width * rng.standard_normal(n)
            else:
                drawn[label] = nominal + width * (2 * rng.random(n) - 1)
        for bridge, figure in figures(drawn.__getitem__, n).items():
            for what, values in figure.items():
                key = bridge + " " + what
                if key not in columns:
                    columns[key] = np.empty(trials)
                columns[key][begin:begin + n] = values
    result = {}
    for key, v in columns.items():
        one = {"mean": float(v.mean()), "standard": float(v.std(ddof=1))}
        if "crosstalk" in key or "spread" in key:
            i = int(0.95 * trials)
            one["quantile"] = float(np.partition(v, i)[i])
        else:
            v.sort()
            one["shortest"] = shortest(v)
            one["quantile"] = float(v[int(0.95 * trials)])
        result[key] = one
    json.dump({"seconds": time.perf_counter() - start, "cpu": time.process_time() - cpu, "figures": result}, sys.stdout)


main()
