"""Every worked example that the present parts can express, and why the others are not here."""

import fittings
import liquids
import networks
import non_newtonian
import pumping
import single_pipes
import systems
import valve_sizing
import valves

EXAMPLES = [
    *single_pipes.EXAMPLES,
    *systems.EXAMPLES,
    *pumping.EXAMPLES,
    *networks.EXAMPLES,
    *fittings.EXAMPLES,
    *valves.EXAMPLES,
    *valve_sizing.EXAMPLES,
    *non_newtonian.EXAMPLES,
    *liquids.EXAMPLES,
]

FORMULAS = [
    *pumping.FORMULAS,
    *valve_sizing.FORMULAS,
    *non_newtonian.FORMULAS,
    *liquids.FORMULAS,
]

# Left out, and the reason:
#
#   White, Cengel, Streeter, Douglas: pumping and frictional power
#                            where a book prints power beside a head loss, the head loss is checked;
#                            power is taken where it is the only printed answer (M4 to M6)
#   Cengel Ex. 8-4, diameter by an explicit formula (0.271 m)
#                            a formula the package does not have; the exact bore is checked (P6)
#   Munson, air in a 4 mm tube
#                            the chart's f is 4 % off Colebrook-White, and no tolerance would mean much
#   Geankoplis Ex. 2.10-4, 2.10-6
#                            chart differences of 2 to 6 %
#   Abulencia & Theodore Ex. 18.7
#                            prints a Fanning factor of 0.00345 where Colebrook-White gives 0.00481
#   Abulencia & Theodore Ex. 18.1 (K 0.56 of a sudden expansion)
#                            K is an input of a restriction; nothing is computed
#   Coulson & Richardson Ex. 3.3, exam problems (draining tanks)
#                            in time
#   Munson Ex. 12.5 (pump by dimensionless coefficients)
#                            arithmetic on the rated point; nothing for a network to find
#   Pump and motor inertia, run-down
#                            in time
#   DOE-HDBK-1012/3-92, equivalent length of a gate valve
#                            arithmetic
#   Coulson & Richardson Ex. 3.10, Bingham fit of the rheogram
#                            arithmetic on two points; the fit is an input (X5b)
#   Coulson & Richardson Ex. 5.2 as a network (X7)
#                            a pipe carries a settling slurry as a liquid of its density and viscosity;
#                            the heterogeneous gradient is a function only
#   Valves: free fall of a disc, surge in a long line
#                            in time
#   Valves: free area of a pinched sleeve
#                            a formula the package does not have
#   Gas leakage of seats     liquids only
#   DN 40 of the Kv-to-zeta table (0.39 against 0.3715)
#                            its bore is unclear
