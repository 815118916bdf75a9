"""CC-CV charge of one Li-ion cell: scipy's solve_ivp, vectorised numpy, and pybamm's equivalent circuit.

usage: peer_charge.py MODE [draws=0] [runs=5]
MODE: ivp      scipy solve_ivp (LSODA, rtol 1e-6) of state of charge and one RC pair
      ivp_ref  the same with DOP853, rtol 1e-12 (the reference answer)
      euler    numpy, 1 s exponential steps, all draws as one vector (the fast way in numpy)
      ecm      pybamm equivalent_circuit.Thevenin with the same cell, its thermal masses so large that it stays at
               25 C (the model has no switch for its temperature), rtol 1e-6
The cell: 5 Ah, open-circuit voltage below (linear), R0 20 mOhm, R1 15 mOhm, C1 2 kF, from 5 % at 1C (5 A) to 4.2 V,
then 4.2 V until C/20. No temperature, here as there.
Result: charge time [s], ampere-hours in, energy in [Wh], time in CV [s].
Draws: R0 and R1 each times 1 + 0.2*(u-0.5)*2, u = SplitMix64(21).unit() in the order R0, R1.
"""
import peer_common as pc
import os
import sys
import warnings

os.environ["PYBAMM_DISABLE_TELEMETRY"] = "true"
import numpy as np

warnings.filterwarnings("ignore")
mode, draws, runs = sys.argv[1], pc.arg(2, 0), pc.arg(3, 5)
u = pc.splitmix_units(21, 2 * max(draws, 1)).reshape(-1, 2)
scale = 1 + 0.4 * (u - 0.5)

Q, R0, R1, C1, I0, VMAX, ICUT = 5 * 3600.0, 0.020, 0.015, 2000.0, 5.0, 4.2, 0.25
SOC = np.array([0, .05, .1, .2, .3, .4, .5, .6, .7, .8, .9, 1.0])
OCV = np.array([2.9, 3.30, 3.43, 3.53, 3.59, 3.63, 3.69, 3.79, 3.89, 3.99, 4.08, 4.20])


def ivp(r0, r1, method="LSODA", tol=1e-6):
    from scipy.integrate import solve_ivp

    def ocv(z):
        return np.interp(z, SOC, OCV)

    def rhs(i_of):
        def f(t, y):
            z, v1, ah, wh = y
            i = i_of(y)
            v = ocv(z) + v1 + i * r0
            return [i / Q, (i - v1 / r1) / C1, i / 3600, i * v / 3600]
        return f

    def hit_v(t, y):
        return ocv(y[0]) + y[1] + I0 * r0 - VMAX

    def i_cv(y):
        return (VMAX - ocv(y[0]) - y[1]) / r0

    def hit_i(t, y):
        return i_cv(y) - ICUT
    hit_v.terminal = hit_i.terminal = True
    kw = dict(method=method, rtol=tol, atol=tol * 1e-3, max_step=60)
    a = solve_ivp(rhs(lambda y: I0), (0, 20000), [0.05, 0, 0, 0], events=hit_v, **kw)
    b = solve_ivp(rhs(i_cv), (a.t[-1], 40000), a.y[:, -1], events=hit_i, **kw)
    y = b.y[:, -1]
    return [float(b.t[-1]), float(y[2]), float(y[3]), float(b.t[-1] - a.t[-1])]


def euler(r0, r1, dt=1.0):
    n = len(r0)
    z, v1 = np.full(n, .05), np.zeros(n)
    ah, wh, t, tcv = (np.zeros(n) for _ in range(4))
    k = np.exp(-dt / (r1 * C1))
    live, cv, s = np.ones(n, bool), np.zeros(n, bool), 0
    while live.any() and s < 40000:
        o = np.interp(z, SOC, OCV)
        cv |= o + v1 + I0 * r0 >= VMAX
        i = np.where(cv, (VMAX - o - v1) / r0, I0)
        live &= ~(cv & (i < ICUT))
        i = i * live
        wh += i * (o + v1 + i * r0) * dt / 3600
        ah += i * dt / 3600
        z = z + i * dt / Q
        v1 = v1 * k + i * r1 * (1 - k)
        t += live * dt
        tcv += (live & cv) * dt
        s += 1
    return t, ah, wh, tcv


extra = {}
if mode in ("ivp", "ivp_ref"):
    m, tol = ("LSODA", 1e-6) if mode == "ivp" else ("DOP853", 1e-12)
    if draws:
        def fn():
            return [ivp(R0 * a, R1 * b, m, tol) for a, b in scale]
    else:
        def fn():
            return ivp(R0, R1, m, tol)
elif mode == "euler":
    def fn():
        return euler(R0 * scale[:, 0], R1 * scale[:, 1]) if draws else euler(np.array([R0]), np.array([R1]))
else:
    import pybamm
    model = pybamm.equivalent_circuit.Thevenin()
    p = model.default_parameter_values
    p.update({
        "Initial SoC": 0.05, "Upper voltage cut-off [V]": 4.25, "Lower voltage cut-off [V]": 2.5,
        "Cell capacity [A.h]": 5.0, "Nominal cell capacity [A.h]": 5.0,
        "Open-circuit voltage [V]": lambda z: pybamm.Interpolant(SOC, OCV, z, interpolator="linear"),
        "R0 [Ohm]": R0, "R1 [Ohm]": R1, "C1 [F]": C1, "Element-1 initial overpotential [V]": 0,
        "Entropic change [V/K]": 0, "Cell thermal mass [J/K]": 1e12, "Jig thermal mass [J/K]": 1e12,
        "Initial temperature [K]": 298.15, "Ambient temperature [K]": 298.15,
    }, check_already_exists=False)
    exp = pybamm.Experiment([("Charge at 5 A until 4.2 V", "Hold at 4.2 V until 0.25 A")])
    solver = pybamm.IDAKLUSolver(rtol=1e-6, atol=1e-8)
    sim = pybamm.Simulation(model, parameter_values=p, experiment=exp, solver=solver)

    def fn():
        s = sim.solve()
        q = s["SoC"].entries
        hold = s.cycles[0].steps[1]
        return [float(s.t[-1]), float(5.0 * (q[-1] - q[0])), float("nan"), float(hold.t[-1] - hold.t[0])]
    extra["version"] = pybamm.__version__

_, cold = pc.measure(fn, 1, warmup=0) if not draws else (None, {"median_s": None})
res, t = pc.measure(fn, runs, warmup=0)
r = np.atleast_2d(np.array(res, float)) if mode != "euler" else np.array(res).T
pc.emit("charge/" + mode, draws=draws, first_call_s=cold["median_s"],
        ms_per_charge=pc.sig(1e3 * t["median_s"] / max(draws, 1), 5),
        columns="time_s, Ah, Wh, cv_s", mean=[pc.sig(v, 10) for v in r.mean(0)],
        peak_rss_mb=pc.peak_rss_mb(), time=t, **extra)
