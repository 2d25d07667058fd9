"""Properties of the liquids that are known by name, and a line of lined pipe that carries one."""

from hand_calculation import head_loss
from quantities import (
    DERIVED,
    INCH,
    MEMORY,
    SEEN,
    STANDARD_GRAVITY,
    Example,
    Formula,
    Quantity,
    area,
    drop,
    velocity,
)

import handwheel as hw

KELVIN = 273.15
KG_PER_M3, MPA_S = "kg/m³", "mPa·s"
AS_THE_TABLE = "the package interpolates in this very table: this checks that it meets its points"


def density(liquid, celsius, *strength):
    return lambda _: liquid(celsius + KELVIN, *strength).density


def viscosity(liquid, celsius, *strength):
    return lambda _: liquid(celsius + KELVIN, *strength).viscosity


# --- Water ---------------------------------------------------------------------------------------

# At 101.325 kPa, by public implementations of the IAPWS formulations, not this package's: °C; density
# [kg/m³] by IAPWS-95 and by IF97; viscosity [µPa·s], R12-08; vapour pressure [Pa], IF97.
WATER = [
    (4, 999.9749, 999.9754, 1567.29, 813.549),
    (10, 999.7025, 999.7015, 1305.90, 1228.184),
    (15, 999.1026, 999.1011, 1137.57, 1705.745),
    (20, 998.2072, 998.2061, 1001.60, 2339.215),
    (25, 997.0476, 997.0480, 890.02, 3169.747),
    (40, 992.2164, 992.2243, 652.73, 7384.427),
    (60, 983.1958, 983.2106, 466.04, 19945.80),
    (80, 971.7904, 971.8029, 354.05, 47414.72),
    (95, 961.8879, 961.8951, 297.09, 84608.94),
]


def water_table():
    quantities = []
    for t, iapws95, if97, mu, pv in WATER:
        def at(name, t=t):
            return lambda _: getattr(hw.water(t + KELVIN), name)
        quantities += [
            Quantity(f"density, {t} °C", at("density"), KG_PER_M3, recomputed=if97,
                     recomputed_absolute=6e-5),
            Quantity(f"density, {t} °C, IAPWS-95", at("density"), KG_PER_M3, recomputed=iapws95,
                     recomputed_relative=2e-5),  # how far IF97 lies from IAPWS-95
            Quantity(f"viscosity, {t} °C", at("viscosity"), MPA_S, recomputed=mu / 1e3,
                     recomputed_relative=5e-5),  # of the digits given, and density by IAPWS-95
            Quantity(f"vapour pressure, {t} °C", at("vapour_pressure"), "Pa", recomputed=pv,
                     recomputed_relative=1e-6),
        ]
    return Formula("L1", "Water at one atmosphere", "IAPWS R7-97(2012), R6-95, R12-08", DERIVED, quantities)


# --- Sea water -----------------------------------------------------------------------------------


def seawater():
    practical_35 = 35.16504e-3  # salinity 35, as mass of salt in mass of water and salt
    on_scale_1968 = 25 / 1.00024  # 25 °C on the temperature scale of 1968, on that of 1990
    return [
        Formula("L2", "Sea water of salinity 35", "UNESCO Technical Papers in Marine Science 36, 1981",
                MEMORY,
                [Quantity("density, 25 °C", density(hw.seawater, on_scale_1968, practical_35), KG_PER_M3,
                          1023.34306, absolute=5e-5, recomputed=1023.343058,
                          recomputed_relative=1e-8)]),
        Formula("L3", "Sea water of 35 g/kg", "IAPWS-08", MEMORY,
                [Quantity(f"density, {t} °C", density(hw.seawater, t, 0.035), KG_PER_M3, rho,
                          relative=2e-5, reason="an older equation of state")
                 for t, rho in ((20, 1024.6408), (25, 1023.2195))]),
        Formula("L4", "Sea water of 35 g/kg, viscosity",
                "Sharqawy, Lienhard and Zubair, Desalin. Water Treat. 16, 2010", MEMORY,
                [Quantity(f"viscosity, {t} °C", viscosity(hw.seawater, t, 0.035), MPA_S, mu,
                          relative=0.001, reason="relative to another formula for water")
                 for t, mu in ((20, 1.077), (25, 0.959))]),
    ]


# --- Sodium hydroxide ----------------------------------------------------------------------------

CAUSTIC_TEMPERATURES = (10, 25, 55, 70, 85)  # °C
CAUSTIC_DENSITY = {  # molality [mol/kg]: density [kg/m³]
    1.0: (1043.40, 1039.11, 1026.10, 1017.90, 1008.78),
    2.0: (1083.15, 1077.87, 1063.43, 1055.03, 1046.09),
    4.0: (1154.37, 1147.76, 1131.24, 1122.43, 1113.57),
    6.0: (1216.77, 1208.66, 1191.21, 1181.92, 1172.27),
}
CAUSTIC_AT_20 = {0.05: 1053.8, 0.10: 1108.9, 0.20: 1219.1, 0.30: 1327.9, 0.40: 1430.0, 0.50: 1525.3}
CAUSTIC_VISCOSITY = {  # °C: {strength: viscosity [mPa·s]}
    20: {0.1: 1.77, 0.2: 4.7, 0.3: 13.3, 0.4: 35, 0.5: 81},
    40: {0.1: 1.08, 0.2: 2.4, 0.3: 5.8, 0.4: 12.6, 0.5: 24},
    60: {0.1: 0.74, 0.2: 1.5, 0.3: 3.2, 0.4: 6.1, 0.5: 10.1},
}


def caustic_strength(molality):
    return molality * 39.997 / (1000 + 39.997 * molality)


def sodium_hydroxide():
    return [
        Formula("L5", "Caustic to 19.4 %", "table of NaOH(aq) at 1 bar, advancedthermo.com", SEEN, [
            Quantity(f"density, {m:g} mol/kg, {t} °C",
                     density(hw.sodium_hydroxide, t, caustic_strength(m)), KG_PER_M3, rho,
                     relative=1e-4, reason=AS_THE_TABLE, in_table=t == 55)
            for m, row in CAUSTIC_DENSITY.items() for t, rho in zip(CAUSTIC_TEMPERATURES, row, strict=True)
        ]),
        Formula("L6", "Caustic to 50 % at 20 °C", "handbook densities of NaOH(aq)", MEMORY, [
            Quantity(f"density, {w:.0%}", density(hw.sodium_hydroxide, 20, w), KG_PER_M3, rho,
                     relative=0.001 if w < 0.25 else 1e-4,
                     reason="another source than the table used up to 19.4 %" if w < 0.25
                     else AS_THE_TABLE)
            for w, rho in CAUSTIC_AT_20.items()
        ]),
        Formula("L7", "Viscosity of caustic", "after M. Laliberté, J. Chem. Eng. Data 52, 2007", MEMORY, [
            Quantity(f"viscosity, {w:.0%}, {t} °C", viscosity(hw.sodium_hydroxide, t, w), MPA_S, mu,
                     relative=0.001, reason=f"{AS_THE_TABLE}; real liquids differ by 10 %",
                     in_table=w == 0.5)
            for t, row in CAUSTIC_VISCOSITY.items() for w, mu in row.items()
        ]),
        Formula("L8", "Viscosity of 50 % caustic", "data sheet of 50 % NaOH (origin unnamed)", SEEN, [
            Quantity("viscosity, 20 °C", viscosity(hw.sodium_hydroxide, 20, 0.5), MPA_S, 78,
                     relative=0.10, reason="\"about\", \"at room temperature\""),
        ]),
    ]


# --- Sulphuric acid ------------------------------------------------------------------------------

ACID_AT_20 = {
    0.05: 1031.7, 0.10: 1066.1, 0.20: 1139.4, 0.30: 1218.5, 0.40: 1302.8, 0.50: 1395.1, 0.60: 1498.3,
    0.70: 1610.5, 0.80: 1727.2, 0.90: 1814.4, 0.96: 1835.5, 0.98: 1836.1, 1.0: 1830.5,
}


def sulphuric_acid():
    return [
        Formula("L9", "Sulphuric acid at 20 °C", "handbook densities of H2SO4(aq)", MEMORY, [
            Quantity(f"density, {w:.0%}", density(hw.sulphuric_acid, 20, w), KG_PER_M3, rho,
                     relative=1e-4, reason=AS_THE_TABLE, in_table=w in (0.3, 0.6, 0.9, 0.98))
            for w, rho in ACID_AT_20.items()
        ]),
        Formula("L10", "Strong sulphuric acid", "Coulson & Richardson, Chemical Engineering vol. 1, Ex. 3.1",
                SEEN,
                [Quantity("density, 98 %, 20 °C", density(hw.sulphuric_acid, 20, 0.98), KG_PER_M3, 1840,
                          relative=0.003, reason="the book rounds to the ten, and gives no strength")]),
    ]


# --- In a pipe -----------------------------------------------------------------------------------


def lined_caustic_line():
    bore = 3.068 * INCH - 2 * 0.003
    q, rho, mu = 12 / 3600, 1327.9, 13.3e-3
    text = """
[fluid]
name = "sodium hydroxide"
temperature = "20 degC"
strength = "30 %"
[[junction]]
name = "inlet"
feed = "12 m3/h"
[[vessel]]
name = "outlet"
[[pipe]]
name = "line"
from = "inlet"
to = "outlet"
length = "50 m"
size = "DN80"
schedule = "40"
lining = "3 mm"
roughness = "0.01 mm"
"""
    return Example(
        "L11", "Caustic of 30 % in lined DN 80", "handbook properties of NaOH(aq) at 20 °C", DERIVED, text,
        [
            Quantity("density", lambda r: r.solution.liquid.density, KG_PER_M3, recomputed=rho,
                     recomputed_relative=1e-5),
            Quantity("viscosity", lambda r: r.solution.liquid.viscosity, MPA_S, recomputed=mu * 1e3,
                     recomputed_relative=1e-5),
            Quantity("velocity", velocity("line"), "m/s", recomputed=q / area(bore)),
            Quantity("head loss", drop("line"), "m",
                     recomputed=head_loss(q, bore, 50, nu=mu / rho, eps=1e-5, g=STANDARD_GRAVITY),
                     recomputed_relative=1e-5),
        ],
    )


EXAMPLES = [lined_caustic_line()]
FORMULAS = [water_table(), *seawater(), *sodium_hydroxide(), *sulphuric_acid()]
