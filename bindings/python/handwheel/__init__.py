"""Flows and pressures in process-plant piping, with real valve models.

    import handwheel as hw
    net = hw.load("plant.toml")
    s = hw.solve(net, {"HV-3.opening": 0.4})
    print(s)

SI throughout; texts with a unit ("12 m3/h", "3 bar") are accepted wherever a value is given.
Results are estimates. A check valve is never isolation. Local codes, the site's permit and lock-out
rules and a licensed engineer decide.
"""

from ._core import (
    Advice,
    Case,
    CheckValve,
    Fluid,
    IterationNews,
    Junction,
    Liquid,
    Loop,
    Model,
    Network,
    Nozzle,
    Pipe,
    Pump,
    Restriction,
    Site,
    Solution,
    Summary,
    Values,
    Valve,
    Vessel,
    __version__,
    dimensions,
    format_quantity,
    friction_factor,
    friction_formulas,
    load,
    loads,
    quantity,
    solve,
    units,
    water,
)
from ._errors import Error, FileError, NetworkError, SettingError, UnitError, UnknownNameError

__all__ = [
    "Advice",
    "Case",
    "CheckValve",
    "Error",
    "FileError",
    "Fluid",
    "IterationNews",
    "Junction",
    "Liquid",
    "Loop",
    "Model",
    "Network",
    "NetworkError",
    "Nozzle",
    "Pipe",
    "Pump",
    "Restriction",
    "SettingError",
    "Site",
    "Solution",
    "Summary",
    "UnitError",
    "UnknownNameError",
    "Values",
    "Valve",
    "Vessel",
    "dimensions",
    "format_quantity",
    "friction_factor",
    "friction_formulas",
    "load",
    "loads",
    "quantity",
    "solve",
    "units",
    "water",
]

# Where a user finds them, and so what tracebacks and pickles call them.
for _name in __all__:
    if isinstance(globals()[_name], type):
        globals()[_name].__module__ = __name__
del _name
