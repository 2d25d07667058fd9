"""Every worked example that the present parts can express, and why the others are not here."""

import fittings
import networks
import single_pipes
import systems
import valves

EXAMPLES = [
    *single_pipes.EXAMPLES,
    *systems.EXAMPLES,
    *networks.EXAMPLES,
    *fittings.EXAMPLES,
    *valves.EXAMPLES,
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
#   Munson Ex. 12.3          NPSH: no such result yet
#   Coulson & Richardson Ex. 3.3 (draining tank)
#                            in time
#   DOE-HDBK-1012/3-92 pump laws: power
#                            no shaft power yet; flow and head are checked (U5)
#   Munson Ex. 12.5 (pump by dimensionless coefficients)
#                            arithmetic on the rated point; nothing for a network to find
#   DOE-HDBK-1012/3-92, equivalent length of a gate valve
#                            arithmetic
#   Non-Newtonian liquids and settling slurries (de Nevers ch. 13, Geankoplis 3.5, Chhabra &
#   Richardson 3.2, Coulson & Richardson 3.10 and 5.2, Warman)
#                            Newtonian liquids only, so far
#   Valves: choked and cavitating flow, viscous correction FR, required FLP
#                            not modelled yet; V2 and V3 are not choked
#   Valves: crack pressure of lift and swing checks from disc weight, slam, free fall, surge
#                            cracking pressure is an input; the rest is in time
#   Valves: leakage classes other than API 598, metal-seated checks
#                            a rate by definition, nothing to solve
#   DN 40 of the Kv-to-zeta table (0.39 against 0.3715)
#                            its bore is unclear
