"""The handwheel command of an installed package: starts the program that was packed with it."""

import os
import pathlib
import sys


def main() -> None:
    program = str(pathlib.Path(__file__).parent / "bin" / "handwheel")
    os.execv(program, [program, *sys.argv[1:]])
