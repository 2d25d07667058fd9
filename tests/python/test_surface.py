"""The public surface: docstrings, stubs, types."""

import ast
import inspect
import pathlib
import pickle
import re

import pytest

PACKAGE = pathlib.Path(__file__).resolve().parents[2] / "bindings" / "python" / "handwheel"
CLASSES = (
    "Advice Backflow BackflowPath BackflowState BackwardComponent BoundaryValve Case CheckValve "
    "CheckValveKind Cited CitedCurve CitedFitness CompiledNetwork Drain Event FillingVessel Fit FittedNumber "
    "Fluid FoundSettings HeldPath IsolatedZone "
    "IsolatingSet Isolation IsolationCheck IterationNews Junction LeakEstimate LeakageRate Liquid "
    "Loop Model Network NotCounted Nozzle OpenPath Pipe Pocket PressureSource Pump Reducers "
    "Regulator ReliefValve Restriction ReversedPump Sensitivities Site Solution Summary Sweep "
    "Transient Values Valve ValveKind Vessel ViscousCorrection"
).split()


def stub():
    return ast.parse((PACKAGE / "_core.pyi").read_text(encoding="utf-8"))


def stub_functions(body):
    """{name: its last definition}, overloads and setters included."""
    return {node.name: node for node in body if isinstance(node, ast.FunctionDef)}


def stub_class(name):
    return next(n for n in stub().body if isinstance(n, ast.ClassDef) and n.name == name)


def is_property(node):
    names = [d.id if isinstance(d, ast.Name) else d.attr for d in node.decorator_list]
    return "property" in names or "setter" in names


def stub_parameters(node):
    a = node.args
    names = [x.arg for x in a.args + a.kwonlyargs if x.arg != "self"]
    return names + ([a.kwarg.arg] if a.kwarg else [])


def real_parameters(function):
    """From the first line of the docstring, where the bound function has its signature."""
    signature = function.__doc__.splitlines()[0]
    assert signature.startswith(function.__name__ + "("), signature
    inside = signature[signature.index("(") + 1 : signature.rindex(") ->")]
    parameters = []
    depth = 0
    for part in re.split(r"([\[\]{}(),])", inside):
        depth += part in tuple("[{(")
        depth -= part in tuple("]})")
        if part == "," and depth == 0:
            parameters.append("")
        else:
            parameters = parameters or [""]
            parameters[-1] += part
    names = [p.split(":")[0].split("=")[0].strip().lstrip("*") for p in parameters]
    return [n for n in names if n and n != "self"]


# What pybind11 and Python add to every class.
HIDDEN = {
    "__init__", "__new__", "__module__", "__doc__", "__hash__", "__repr__", "__str__",
    "__getstate__", "__setstate__",
}  # fmt: skip


def own_names(cls):
    return {name for name in vars(cls) if name not in HIDDEN and not name.startswith("_pybind")}


def test_every_public_name_is_exported_and_stubbed(hw):
    core = set(stub_functions(stub().body)) | {
        n.name for n in stub().body if isinstance(n, ast.ClassDef)
    }
    core = {name for name in core if not name.startswith("_")}
    errors = {n for n in hw.__all__ if isinstance(getattr(hw, n), type)
              and issubclass(getattr(hw, n), Exception)}  # fmt: skip
    in_python = {"Scenarios", "grid", "open_scenarios", "sample", "solve_many"}
    assert set(hw.__all__) == core | errors | in_python
    compiled = {n for n in vars(hw._core) if not n.startswith("_")}
    assert compiled == core
    init_stub = ast.parse((PACKAGE / "__init__.pyi").read_text(encoding="utf-8"))
    imported = {a.asname for n in init_stub.body if isinstance(n, ast.ImportFrom) for a in n.names}
    assert imported == set(hw.__all__) | {"__version__"}


@pytest.mark.parametrize("name", CLASSES)
def test_every_class_has_what_its_stub_says(hw, name):
    cls = getattr(hw, name)
    in_stub = stub_functions(stub_class(name).body)
    assert own_names(cls) == set(in_stub) - {"__init__"}
    setters = {
        n.name for n in stub_class(name).body if isinstance(n, ast.FunctionDef)
        for d in n.decorator_list if isinstance(d, ast.Attribute) and d.attr == "setter"
    }  # fmt: skip
    for member, node in in_stub.items():
        if is_property(node):
            assert isinstance(vars(cls)[member], property), member
            assert (vars(cls)[member].fset is not None) == (member in setters), member
        elif not member.startswith("__"):
            assert real_parameters(getattr(cls, member)) == stub_parameters(node), member


def test_functions_take_what_their_stubs_say(hw):
    for name, node in stub_functions(stub().body).items():
        if name.startswith("_"):
            continue
        assert real_parameters(getattr(hw, name)) == stub_parameters(node), name


def test_defaults_of_solve_are_those_of_the_stub(hw):
    node = stub_functions(stub().body)["solve"]
    signature = hw.solve.__doc__.splitlines()[0]
    for argument, default in zip(node.args.kwonlyargs, node.args.kw_defaults):
        found = re.search(rf"\b{argument.arg}: [^=]*? = ([^,)]*)", signature).group(1)
        assert ast.literal_eval(found) == ast.literal_eval(default), argument.arg


def test_every_public_thing_has_a_docstring(hw):
    assert hw.__doc__ and "licensed engineer" in hw.__doc__
    for name in hw.__all__:
        thing = getattr(hw, name)
        assert inspect.getdoc(thing), name
        if isinstance(thing, type) and not issubclass(thing, Exception):
            for member, value in vars(thing).items():
                if member.startswith("_"):
                    continue
                text = value.__doc__ or ""
                said = text.split("\n", 1)[-1] if text.startswith(member + "(") else text
                assert said.strip(), f"{name}.{member}"


def test_every_error_is_a_value_error(hw):
    assert issubclass(hw.Error, ValueError)
    for error in (hw.UnitError, hw.NetworkError, hw.SettingError, hw.FileError, hw.UnknownNameError):
        assert issubclass(error, hw.Error)


def test_classes_go_by_the_name_of_the_package(hw, net):
    for name in hw.__all__:
        if isinstance(getattr(hw, name), type):
            assert getattr(hw, name).__module__ == "handwheel"
    assert b"_core" not in pickle.dumps(hw.solve(net))


def test_the_package_is_typed(hw):
    built = pathlib.Path(hw.__file__).parent
    for name in ("py.typed", "__init__.pyi", "_core.pyi"):
        assert (built / name).read_bytes() == (PACKAGE / name).read_bytes()
