"""Is anything out of its safe range, and what should be looked at next?

Every solution carries advice: what was found against a limit, what to check, and the usual caution.
    read_the_advice.py                    the cooling loop with a check valve stuck open
    read_the_advice.py FILE [CASE]        any network file, as it stands or in a case
"""

import pathlib
import sys
import textwrap

import handwheel as hw

NETWORKS = pathlib.Path(__file__).parent.parent / "networks"


def show(advice):
    print(f"\n{advice.severity.upper()}: {advice.kind} ({advice.component})")
    for heading, text in (("", advice.message), ("check", advice.check), ("caution", advice.caution)):
        if text:
            print(textwrap.fill(text, 96, initial_indent=f"  {heading:<9}", subsequent_indent=" " * 11))


arguments = sys.argv[1:] or [NETWORKS / "cooling_loop.toml", "P-21B tripped, NRV-21B stuck open"]
file, case = (*arguments, "")[:2]
net = hw.load(file)
s = hw.solve(net, case=case)
print(f"{net.title}, {case or 'as it stands'}: {len(s.advice)} findings")
for advice in s.advice:
    show(advice)
print("""
The rules know no more than the file tells them: an empty list is no proof that all is well. Estimates:
a check valve is never isolation; local codes, the site's permit and lock-out rules and a licensed
engineer decide.""")
