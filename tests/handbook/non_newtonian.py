"""Pipe flow of power law and yield stress liquids, and of settling slurries."""

from math import log10, pi, sqrt

from hand_calculation import root
from quantities import (
    DERIVED,
    FOOT,
    MEMORY,
    SEEN,
    STANDARD_GRAVITY,
    Example,
    Formula,
    Quantity,
    Search,
    area,
    driven_line,
    fanning_factor,
    fed_line,
    flow,
    found,
    pressure_gradient,
    table_value,
    value,
    velocity,
)
from single_pipes import CHART, DE_NEVERS, GEANKOPLIS
from systems import COULSON

import handwheel as hw

CHHABRA = "Chhabra & Richardson, Non-Newtonian Flow and Applied Rheology"
PUMP_MAKER = "slurry pumping handbook of a pump maker (name withheld), selection example"
ROUNDED = "the printed figure is rounded to two or three digits"

# --- By hand -------------------------------------------------------------------------------------


def power_law_reynolds(k, n, density, v, bore):
    """Metzner & Reed 1955: 64/f of laminar flow."""
    return density * v ** (2 - n) * bore**n / (8 ** (n - 1) * k * ((3 * n + 1) / (4 * n)) ** n)


def dodge_metzner(re, n):
    """Fanning, 1/sqrt(f) = 4 n^-0.75 log10(Re f^(1-n/2)) - 0.4 n^-1.2, by fixed point."""
    x = 16.0
    for _ in range(200):
        x = 4 * n**-0.75 * log10(re * x ** -(2 - n)) - 0.4 * n**-1.2
    return x**-2


def laminar_stress(k, n, v, bore):
    return k * ((3 * n + 1) / (4 * n) * 8 * v / bore) ** n


def herschel_bulkley(tau, tau_y, k, n, radius):
    """Flow as printed in textbooks."""
    excess = tau - tau_y
    return (pi * radius**3 * n * excess ** ((n + 1) / n) / (k ** (1 / n) * tau**3)
            * (excess**2 / (3 * n + 1) + 2 * tau_y * excess / (2 * n + 1) + tau_y**2 / (n + 1)))


def power_law_fluid(k, n, density):
    return f'density = "{density} kg/m3"\nconsistency = {k:.15g}\nindex = {n}'


def power_law_line(k, n, density, bore, v, length=100.0):
    return fed_line(
        fluid=power_law_fluid(k, n, density),
        pipe=f'length = "{length} m"\nbore = "{bore} m"\nroughness = "0 mm"',
        feed=f"{v * area(bore):.15g} m3/s",
        gravity="9.80665 m/s2",
    )


def gradient(density, length=100.0):
    return pressure_gradient("line", length, density, STANDARD_GRAVITY)


def fanning(bore, length=100.0):
    return fanning_factor("line", length, bore, STANDARD_GRAVITY)


# Solver and Dodge & Metzner differ by its joining Colebrook-White at index 1: up to 0.13 % in f.
TURBULENT = {"recomputed_relative": 0.0015}

# --- Power law -----------------------------------------------------------------------------------


def de_nevers_13_1():
    return Example(
        "X1", "Polymer solution, laminar", f"{DE_NEVERS}, Ex. 13.1", SEEN,
        power_law_line(0.66, 0.41, 1000, 0.5 * FOOT, FOOT),
        [Quantity("pressure gradient", gradient(1000), "Pa/m", 61.3, relative=0.002,
                  recomputed=4 * laminar_stress(0.66, 0.41, FOOT, 0.5 * FOOT) / (0.5 * FOOT))],
        note="The density is ours; it does not enter the answer.",
    )


def de_nevers_13_3():
    re = power_law_reynolds(0.66, 0.41, 1000, 0.305, 0.152)
    return Example(
        "X9", "The same by its friction factor", f"{DE_NEVERS}, Ex. 13.3", SEEN,
        power_law_line(0.66, 0.41, 1000, 0.152, 0.305),
        [
            Quantity("Fanning factor", fanning(0.152), "", 0.0501, relative=0.005,
                     reason="printed from the rounded gradient", recomputed=16 / re),
            Quantity("Reynolds number", table_value("pipes", "line", "Reynolds number [-]"), "", 318.5,
                     relative=0.0005, recomputed=re),
        ],
    )


def de_nevers_13_4():
    re = power_law_reynolds(0.66, 0.41, 1000, 3.04, 0.152)
    f = dodge_metzner(re, 0.41)
    return Example(
        "X2", "Polymer solution, turbulent", f"{DE_NEVERS}, Ex. 13.4", SEEN,
        power_law_line(0.66, 0.41, 1000, 0.152, 3.04),
        [
            Quantity("Fanning factor", fanning(0.152), "", 0.004, relative=0.01, reason=CHART,
                     recomputed=f, **TURBULENT),
            Quantity("pressure gradient", gradient(1000), "kPa/m", 0.486, relative=0.01, reason=CHART,
                     recomputed=4 * f / 0.152 * 1000 * 3.04**2 / 2 / 1e3, **TURBULENT),
        ],
    )


def geankoplis_3_5_2():
    """K' and n' make the wall stress K' (8V/D)^n'; K of the liquid is less by ((3n+1)/(4n))^n."""
    k_prime, n, density, bore, v, length = 2.744, 0.30, 961, 0.0508, 6.1, 30.5
    k = k_prime / ((3 * n + 1) / (4 * n)) ** n
    re = power_law_reynolds(k, n, density, v, bore)
    f = dodge_metzner(re, n)
    text = power_law_line(k, n, density, bore, v, length) + f"""
[[junction]]
name = "inlet again"
feed = "{v * area(bore):.15g} m3/s"
[[pipe]]
name = "by the chart"
from = "inlet again"
to = "outlet"
length = "{length} m"
bore = "{bore} m"
friction_factor = 0.0128  # Fanning 0.0032
"""

    def loss(pipe):
        return lambda r: density * STANDARD_GRAVITY * r.drop[pipe]

    return Example(
        "X3", "Turbulent flow by K' and n'", f"{GEANKOPLIS}, Ex. 3.5-2", SEEN, text,
        [
            Quantity("Reynolds number", value(hw.metzner_reed_reynolds, density, v, bore, k, n), "",
                     1.33e4, relative=0.002, recomputed=re),
            Quantity("Fanning factor", fanning(bore, length), "", 0.0032, relative=0.04, reason=CHART,
                     recomputed=f, **TURBULENT),
            Quantity("pressure drop", loss("line"), "kPa", 137.4, relative=0.04, reason=CHART,
                     recomputed=4 * f * length / bore * density * v**2 / 2 / 1e3, **TURBULENT),
            Quantity("pressure drop with the chart's factor", loss("by the chart"), "kPa", 137.4,
                     relative=0.001),
        ],
    )


def chhabra_3_2():
    k, n, density, bore, length = 3.0, 0.5, 1075, 0.025, 10.0
    q = 2500 / 3600 / density
    v = q / area(bore)
    own = 4 * length / bore * laminar_stress(k, n, v, bore)
    return Example(
        "X4", "Shear-thinning liquid in a small pipe", f"{CHHABRA}, Ex. 3.2", MEMORY,
        power_law_line(k, n, density, bore, v, length),
        [
            Quantity("velocity", velocity("line"), "m/s", 1.32, relative=0.003 + 0.0005,
                     reason=ROUNDED, recomputed=v),
            Quantity("pressure drop", lambda r: density * STANDARD_GRAVITY * r.drop["line"], "kPa", 110,
                     relative=0.003, recomputed=own / 1e3),
            Quantity("velocity on the centre line",
                     lambda r: r.velocity["line"] * (3 * n + 1) / (n + 1), "m/s", 2.19, relative=0.003),
            Quantity("Reynolds number", table_value("pipes", "line", "Reynolds number [-]"), "",
                     recomputed=power_law_reynolds(k, n, density, v, bore)),
        ],
    )


def coulson_3_10():
    bore, length, n = 0.04, 200.0, 0.2
    v = 1.0 * (n + 1) / (3 * n + 1)  # 1 m/s on the centre line
    power_law = power_law_line(10, n, 1000, bore, v, length)
    drop = 4 * length / bore * laminar_stress(10, n, v, bore)
    tau = drop * bore / (4 * length)
    # Through the power law's stresses at 10 and 50 1/s.
    plastic = (10 * 50**n - 10 * 10**n) / 40
    tau_y = 10 * 10**n - 10 * plastic
    mean = tau / plastic * (1 - 4 / 3 * (tau_y / tau) + (tau_y / tau) ** 4 / 3) * bore / 8
    bingham = driven_line(
        fluid=f'density = "1000 kg/m3"\nviscosity = {plastic:.15g}\nyield_stress = {tau_y:.15g}',
        pipe=f'length = "{length} m"\nbore = "{bore} m"\nroughness = "0 mm"',
        upper=f'gas_pressure = "{drop:.15g} Pa"',
        gravity="9.80665 m/s2",
    )
    return [
        Example(
            "X5a", "Rheogram as a power law", f"{COULSON}, Ex. 3.10", SEEN, power_law,
            [Quantity("pressure drop", lambda r: 1000 * STANDARD_GRAVITY * r.drop["line"], "kPa", 626,
                      relative=0.001, recomputed=drop / 1e3)],
            note="The density is ours; it does not enter the answer.",
        ),
        Example(
            "X5b", "The same rheogram as a Bingham liquid", "E. Buckingham 1921, M. Reiner 1926",
            DERIVED, bingham,
            [
                Quantity("velocity", velocity("line"), "m/s", recomputed=mean),
                Quantity("yield stress of the fit", lambda r: r.solution.liquid.yield_stress, "Pa",
                         recomputed=14.3444, recomputed_relative=1e-5),
            ],
        ),
    ]


# --- Yield stress --------------------------------------------------------------------------------


def de_nevers_13_5():
    density, bore, v, tau_y, plastic = 1530, 0.0206, 3.47, 3.8, 6.86e-3
    text = fed_line(
        fluid=f'density = "{density} kg/m3"\nviscosity = {plastic}\nyield_stress = "{tau_y} Pa"',
        pipe=f'length = "100 m"\nbore = "{bore} m"\nroughness = "0 mm"',
        feed=f"{v * area(bore):.15g} m3/s",
        gravity="9.80665 m/s2",
    )
    correlations = ("a measurement: Darby and Melson lie 24 % below it, Colebrook-White at the plastic "
                    "viscosity, which the solver takes, 11 % above")
    return Example(
        "X6", "Bingham slurry, turbulent, measured", f"{DE_NEVERS}, Ex. 13.5", SEEN, text,
        [
            Quantity("Reynolds number",
                     lambda r: density * r.velocity["line"] * bore / r.solution.liquid.viscosity, "",
                     1.59e4, relative=0.004, reason=ROUNDED),
            Quantity("Hedström number",
                     lambda r: density * r.solution.liquid.yield_stress * bore**2
                     / r.solution.liquid.viscosity**2, "", 5.24e4, relative=0.001),
            Quantity("Fanning factor", fanning(bore), "", 0.00619, relative=0.15, reason=correlations),
            Quantity("pressure gradient", gradient(density), "Pa/m", 11069, relative=0.15,
                     reason=correlations),
        ],
    )


HB_CASES = [  # wall stress, yield stress [Pa], K, n, R [m], flow [m³/s] computed to 12 digits
    (20, 5, 0.5, 0.6, 0.05, 0.0210067558776),
    (30, 10, 2, 0.5, 0.1, 0.0496449209456),
    (50, 10, 0.05, 1, 0.05, 0.0720471915223),
    (20, 0, 1, 0.5, 0.05, 0.0314159265359),
]


def herschel_bulkley_lines():
    """A density of 1 kg/m³ keeps the flow laminar; 10 m of pipe."""
    examples = []
    for i, (tau, tau_y, k, n, radius, q) in enumerate(HB_CASES, 1):
        text = driven_line(
            fluid=f'density = "1 kg/m3"\nconsistency = {k}\nindex = {n}\nyield_stress = "{tau_y} Pa"',
            pipe=f'length = "10 m"\nbore = "{2 * radius} m"\nroughness = "0 mm"',
            upper=f'gas_pressure = "{tau * 2 * 10 / radius:.15g} Pa"',
            gravity="9.80665 m/s2",
        )
        examples.append(Example(
            f"X10.{i}", f"Laminar, stress {tau_y} Pa + {k} rate^{n}", "W. H. Herschel and R. Bulkley, 1926",
            DERIVED, text,
            [
                Quantity("flow", flow("line"), "m³/s", recomputed=q, recomputed_relative=1e-8),
                Quantity("flow by the function",
                         value(hw.herschel_bulkley_flow, tau, 2 * radius, tau_y, k, n), "m³/s",
                         recomputed=herschel_bulkley(tau, tau_y, k, n, radius),
                         recomputed_relative=1e-12),
            ],
        ))
    return examples


def bingham_factors():
    factors = [  # Re, He, Fanning f, solved to 12 digits
        (100, 1e4, 2.474799605729), (500, 1e4, 0.132842596070), (1000, 1e4, 0.0419439102050),
        (1000, 1e5, 0.247479960573), (2000, 1e5, 0.0680578417890),
    ]
    limits = [  # He, Re
        (1e2, 2120.614441), (1e3, 2289.578510), (1e4, 3328.772125), (1e5, 6815.601647),
        (1e6, 15289.11456), (1e7, 34067.06714),
    ]
    darby = [(1e4, 1e4, 0.003957379), (1e5, 1e5, 0.003574299), (5e4, 1e6, 0.004198545)]
    return [
        Formula("X11", "Laminar Bingham flow", "E. Buckingham 1921, M. Reiner 1926", DERIVED,
                [Quantity(f"Fanning factor, Re {re:g}, He {he:g}",
                          value(hw.buckingham_reiner_fanning, re, he), "", recomputed=f,
                          recomputed_relative=1e-11) for re, he, f in factors]),
        Formula("X12", "Where laminar Bingham flow ends", "R. W. Hanks, AIChE J. 9, 1963", DERIVED,
                [Quantity(f"critical Reynolds number, He {he:g}", value(hw.hanks_critical_reynolds, he),
                          "", recomputed=re, recomputed_relative=1e-9) for he, re in limits]),
        Formula("X13", "Turbulent Bingham flow in smooth pipe",
                "R. Darby and J. Melson, Chem. Eng. 88(26), 1981", DERIVED,
                [Quantity(f"Fanning factor, Re {re:g}, He {he:g}",
                          value(hw.darby_melson_fanning, re, he), "", recomputed=f,
                          recomputed_relative=1e-6) for re, he, f in darby]),
        Formula("X14", "Turbulent power law flow", "D. W. Dodge and A. B. Metzner, AIChE J. 5, 1959",
                DERIVED,
                [Quantity(f"Fanning factor, Re {re:g}, n {n}", value(hw.dodge_metzner_fanning, re, n),
                          "", recomputed=dodge_metzner(re, n), recomputed_relative=1e-10)
                 for re, n in ((12328, 0.41), (13284, 0.30), (1e5, 1.0))]),
    ]


# --- Settling slurries ---------------------------------------------------------------------------


def coulson_5_2():
    """Concentration that makes 0.5 kg/s of water lose 300 kPa over 100 m of 25 mm pipe."""
    water, bore, g, s = 0.5e-3, 0.025, 9.81, 2.6
    v = water / area(bore)
    clear = 4 * 0.0092 / bore * v**2 / (2 * g)
    measured = 300e3 / (1000 * g * 100)

    def concentration(_):
        return root(lambda c: hw.heterogeneous_gradient(clear, c, v, 0.0239, bore, s, g) - measured,
                    0.01, 0.6)

    def sand(_):
        c = concentration(None)
        return 1000 * s * water * c / (1 - c)

    own = (measured - clear) / clear / (1100 * g * bore * (s - 1) / v**2 * 0.0239 / v)
    return Formula(
        "X7", "Sand carried by water", f"{COULSON}, Ex. 5.2", SEEN, [
            Quantity("volume fraction", concentration, "", 0.30, relative=0.005, recomputed=own),
            Quantity("sand", sand, "kg/s", 0.56, absolute=0.005),
            Quantity("sand in an hour", sand, "t/h", 2.0, absolute=0.05, in_table=False),
        ])


def sand_in_150_mm():
    bore = 0.15
    text = fed_line(
        fluid='density = "1000 kg/m3"\nviscosity = "1 mPa.s"\nsolids = 0.30\n'
              'solids_density = "2650 kg/m3"\nd50 = "0.211 mm"',
        pipe=f'length = "100 m"\nbore = "{bore} m"\nroughness = "0.05 mm"',
        feed="150 m3/h",
    )

    def dry_solids(r):
        return r.flow["line"] * r.solution.liquid.density * 0.30

    durand = 1.04 * sqrt(2 * 9.81 * bore * 1.65)
    return Example(
        "X8", "65 t/h of dry sand in 150 mm", PUMP_MAKER, MEMORY, text,
        [
            Quantity("relative density of the mixture",
                     lambda r: r.solution.liquid.density / 1000, "", 1.23, absolute=0.005,
                     recomputed=1 / (0.3 / 2.65 + 0.7)),
            Quantity("solids by volume", lambda r: r.solution.liquid.solids_volume_fraction, "", 0.139,
                     absolute=0.0005, recomputed=0.3 / 2.65 / (0.3 / 2.65 + 0.7)),
            Quantity("flow", found, "L/s", 48.9, relative=0.01),
            Quantity("velocity", velocity("line"), "m/s", 2.8, relative=0.0125,
                     reason="printed to two digits"),
            Quantity("deposition velocity after Durand",
                     value(hw.durand_deposition_velocity, 1.04, bore, 2.65, 9.81), "m/s", 2.3,
                     relative=0.01, recomputed=durand),
            Quantity("deposition velocity after Wasp",
                     table_value("pipes", "line", "deposition velocity [m/s]"), "m/s",
                     recomputed=3.116 * (0.3 / 2.65 / (0.3 / 2.65 + 0.7)) ** 0.186
                     * sqrt(2 * 9.81 * bore * 1.65) * (0.211e-3 / bore) ** (1 / 6)),
        ],
        search=Search("inlet.feed", 0.01, 0.1, lambda r: dry_solids(r) - 65e3 / 3600),
        note="The carrier's viscosity and the pipe's roughness are ours; they do not enter the answers.",
    )


def slurry_formulas():
    thomas = {0.05: 1.156386, 0.10: 1.364858, 0.20: 1.977513, 0.30: 3.051645, 0.40: 5.696709,
              0.50: 15.747672, 0.60: 63.892432}
    wasp = [(0.139, 0.211e-3, 0.15, 1.5923), (0.2, 0.3e-3, 0.2, 1.9886)]
    return [
        Formula("X15", "Viscosity of suspensions", "D. G. Thomas, J. Colloid Sci. 20, 1965", DERIVED,
                [Quantity(f"relative viscosity at {c:.0%}", value(hw.suspension_viscosity_ratio, c), "",
                          recomputed=mu, recomputed_relative=1e-6) for c, mu in thomas.items()]),
        Formula("X16", "Deposition velocity", "E. J. Wasp, J. P. Kenny and R. L. Gandhi, 1977", DERIVED,
                [Quantity(f"of {d * 1e3} mm grains in {bore} m",
                          value(hw.wasp_deposition_velocity, c, d, bore, 2.65, 9.81), "m/s",
                          recomputed=v, recomputed_relative=5e-5) for c, d, bore, v in wasp]),
    ]


EXAMPLES = [
    de_nevers_13_1(), de_nevers_13_4(), geankoplis_3_5_2(), chhabra_3_2(), *coulson_3_10(),
    de_nevers_13_5(), sand_in_150_mm(), de_nevers_13_3(), *herschel_bulkley_lines(),
]
FORMULAS = [coulson_5_2(), *bingham_factors(), *slurry_formulas()]
