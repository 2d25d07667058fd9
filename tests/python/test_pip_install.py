"""pip install into a fresh virtual environment, which compiles everything: minutes."""

import os
import pathlib
import subprocess
import sys

import pytest

from conftest import PLANT, SOURCE

pytestmark = pytest.mark.slow


def run(*command, **options):
    environment = {k: v for k, v in os.environ.items() if k not in ("PYTHONPATH", "PYTHONHOME")}
    done = subprocess.run([str(c) for c in command], capture_output=True, text=True,
                          env=environment, **options)  # fmt: skip
    assert done.returncode == 0, done.stdout[-20000:] + done.stderr[-20000:]
    return done.stdout


def source_tree():
    """What lies beside setup.py; caches of this very run aside."""
    folder = SOURCE / "bindings" / "python"
    return sorted(str(p) for p in folder.rglob("*") if "__pycache__" not in str(p))


@pytest.fixture(scope="module")
def venv(tmp_path_factory):
    folder = tmp_path_factory.mktemp("venv")
    before = source_tree()
    run(sys.executable, "-m", "venv", "--system-site-packages", folder)
    run(folder / "bin" / "pip", "install", "--no-build-isolation", "--no-index", "--no-deps",
        SOURCE / "bindings" / "python", timeout=3000)  # fmt: skip
    assert source_tree() == before, "the build left something behind"
    return folder


def test_the_installed_package_solves(venv, tmp_path):
    path = tmp_path / "plant.toml"
    path.write_text(PLANT, encoding="utf-8")
    code = f"import handwheel as hw; print(hw.__file__); print(hw.solve(hw.load({str(path)!r})))"
    out = run(venv / "bin" / "python", "-c", code, cwd=tmp_path)
    package = pathlib.Path(out.splitlines()[0]).parent
    assert package.is_relative_to(venv)
    assert "converged" in out
    for name in ("py.typed", "_core.pyi", "__init__.pyi"):
        assert (package / name).exists()


def test_the_installed_command_solves(venv, tmp_path):
    path = tmp_path / "plant.toml"
    path.write_text(PLANT, encoding="utf-8")
    assert "converged" in run(venv / "bin" / "handwheel", "solve", path, cwd=tmp_path)


def test_the_installed_package_has_the_version_of_the_library(hw, venv, tmp_path):
    code = "import importlib.metadata as m; print(m.version('handwheel'))"
    assert run(venv / "bin" / "python", "-c", code, cwd=tmp_path).strip() == hw.__version__
