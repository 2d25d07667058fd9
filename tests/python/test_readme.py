"""The README's snippets run, and show what the programs print.

    test_readme.py --write    put what quickstart and the advice example print now into the README
"""

import os
import pathlib
import re
import subprocess
import sys

import pytest

SOURCE = pathlib.Path(__file__).resolve().parents[2]
BUILD = pathlib.Path(os.environ.get("HANDWHEEL_BUILD", SOURCE / "build")).resolve()
README = SOURCE / "README.md"
DOCUMENTS = [README, SOURCE / "networks" / "README.md", SOURCE / "examples" / "on_a_cluster.md"]
# What stands between <!-- name:begin --> and <!-- name:end -->, and the example that prints it.
SHOWN = {"quickstart": "examples/quickstart.py", "advice": "examples/read_the_advice.py"}


def blocks(language):
    """The fenced blocks of a language, each as a test parameter named by file and line."""
    found = []
    for document in DOCUMENTS:
        text = document.read_text(encoding="utf-8")
        for match in re.finditer(rf"^```{language}\n(.*?)^```$", text, re.MULTILINE | re.DOTALL):
            line = text.count("\n", 0, match.start()) + 1
            name = f"{document.relative_to(SOURCE)}:{line}"
            found.append(pytest.param(match.group(1), id=name))
    assert found, f"no {language} blocks"
    return found


def environment():
    return {
        **os.environ,
        "PYTHONPATH": str(BUILD / "python"),
        "PATH": f"{BUILD / 'bin'}{os.pathsep}{os.environ['PATH']}",
        "PYTHONDONTWRITEBYTECODE": "1",
    }


def run(command, **options):
    done = subprocess.run(command, capture_output=True, text=True, cwd=SOURCE, env=environment(),
                          timeout=300, **options)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def printed(name):
    return f"```text\n{run([sys.executable, SHOWN[name]])}```\n"


def around(text, name):
    """What stands before, between and after the markers of a name."""
    begin, end = f"<!-- {name}:begin -->\n", f"<!-- {name}:end -->"
    assert text.count(begin) == 1 == text.count(end)
    before, _, rest = text.partition(begin)
    shown, _, after = rest.partition(end)
    return before + begin, shown, end + after


def without_round_off(text):
    """Imbalances of the order of round-off differ between machines."""
    return re.sub(r"\d\.\de[-+]\d+", "~0", text)


@pytest.mark.parametrize("code", blocks("python"))
def test_python_block_runs(code):
    run([sys.executable, "-c", code])


@pytest.mark.parametrize("code", blocks("sh"))
def test_shell_block_runs(code):
    run(["bash", "-euo", "pipefail", "-c", code])


@pytest.mark.parametrize("text", blocks("toml"))
def test_network_file_block_reads_and_solves_in_every_case(hw, text):
    net = hw.loads(text)
    for case in ["", *net.cases]:
        assert hw.solve(net, case=case).converged


@pytest.mark.parametrize("code", blocks("cpp"))
def test_cpp_block_compiles_and_runs(code, tmp_path):
    libraries = [*(BUILD / "solver").glob("libhandwheel.*")]
    assert libraries, f"no library in {BUILD / 'solver'}"
    source, program = tmp_path / "snippet.cc", tmp_path / "snippet"
    source.write_text(code, encoding="utf-8")
    flags = [] if libraries[0].suffix == ".a" else [f"-Wl,-rpath,{BUILD / 'solver'}"]
    run([os.environ.get("CXX", "g++"), "-std=c++20", "-Wall", "-Wextra", "-Werror", "-I",
         SOURCE / "solver" / "include", source, libraries[0], *flags, "-o", program])
    assert run([program])


@pytest.mark.parametrize("name", SHOWN)
def test_readme_shows_what_the_example_prints(name):
    _, shown, _ = around(README.read_text(encoding="utf-8"), name)
    assert without_round_off(shown) == without_round_off(printed(name))


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md", "networks/README.md", "examples/on_a_cluster.md"])
def test_links_lead_somewhere(document):
    path = SOURCE / document
    targets = re.findall(r"\]\(([^)#]+)\)", path.read_text(encoding="utf-8"))
    missing = [t for t in targets if "://" not in t and not (path.parent / t).exists()]
    assert not missing


if __name__ == "__main__" and sys.argv[1:] == ["--write"]:
    for name in SHOWN:
        before, _, after = around(README.read_text(encoding="utf-8"), name)
        README.write_text(before + printed(name) + after, encoding="utf-8")
