"""Builds the compiled module and the shell command with the project's own CMake files."""

import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

from setuptools import Extension, setup
from setuptools.command.build_ext import build_ext

ROOT = pathlib.Path(__file__).resolve().parents[2]


def version():
    text = (ROOT / "CMakeLists.txt").read_text(encoding="utf-8")
    return re.search(r"project\(handwheel VERSION ([\d.]+)", text).group(1)


class CMakeBuild(build_ext):
    """The module from CMake's target handwheel_python, the command from handwheel_shell."""

    def build_extension(self, extension):
        tree = pathlib.Path(self.build_temp).resolve()
        self.configure(tree)
        jobs = os.environ.get("CMAKE_BUILD_PARALLEL_LEVEL", str(os.cpu_count() or 1))
        targets = ["handwheel_python", "handwheel_shell"]
        subprocess.run(
            ["cmake", "--build", str(tree), "--parallel", jobs, "--target", *targets], check=True
        )
        package = pathlib.Path(self.get_ext_fullpath(extension.name)).parent
        (package / "bin").mkdir(parents=True, exist_ok=True)
        for module in (tree / "python" / "handwheel").glob("_core*.so"):
            shutil.copy2(module, package)
        shutil.copy2(tree / "bin" / "handwheel", package / "bin")

    def configure(self, tree):
        options = {
            "CMAKE_BUILD_TYPE": "Release",
            "HANDWHEEL_PYTHON": "ON",
            "HANDWHEEL_SHELL": "ON",
            "HANDWHEEL_TESTS": "OFF",
            "HANDWHEEL_WERROR": "OFF",
            "Python3_EXECUTABLE": sys.executable,
        }
        generator = ["-G", "Ninja"] if shutil.which("ninja") else []
        definitions = [f"-D{key}={value}" for key, value in options.items()]
        subprocess.run(
            ["cmake", "-S", str(ROOT), "-B", str(tree), *generator, *definitions], check=True
        )


def main():
    if not (ROOT / "solver").is_dir():
        sys.exit("handwheel needs its whole source tree; install from bindings/python there")
    # Nothing is left behind in the source tree.
    with tempfile.TemporaryDirectory(prefix="handwheel-") as scratch:
        setup(
            version=version(),
            ext_modules=[Extension("handwheel._core", sources=[])],
            cmdclass={"build_ext": CMakeBuild},
            options={"build": {"build_base": scratch}, "egg_info": {"egg_base": scratch}},
        )


main()
