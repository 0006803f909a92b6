"""The package as a whole: metadata, lock, entry point, layers of the core, and the habits every test keeps."""

import ast
import importlib
import importlib.metadata
import os
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version
from typer.testing import CliRunner

import hoistbook

ROOT = Path(__file__).resolve().parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())
LOCK = (ROOT / "requirements.lock").read_text()
CORE = ROOT / "src" / "hoistbook" / "core"
MARKS = ("published", "computed", "first principles", "common practice", "from memory")


def test_version_is_the_same_everywhere():
    assert importlib.metadata.version("hoistbook") == hoistbook.__version__


def test_change_log_has_an_entry_for_a_released_version():
    headings = re.findall(r"^## (\S+)", (ROOT / "CHANGELOG.md").read_text(), flags=re.MULTILINE)
    assert headings[0] in {"Unreleased", hoistbook.__version__}


def test_entry_point_prints_the_version():
    module, _, name = PROJECT["project"]["scripts"]["hoistbook"].partition(":")
    app = getattr(importlib.import_module(module), name)
    result = CliRunner().invoke(app, ["--version"])
    assert result.exit_code == 0
    assert hoistbook.__version__ in result.output


def test_extras_are_declared():
    extras = {
        name: {Requirement(text).name for text in requirements}
        for name, requirements in PROJECT["project"]["optional-dependencies"].items()
    }
    assert extras == {
        "fast": {"numba"},
        "postgresql": {"psycopg"},
        "cluster": {"dask", "distributed"},
        "step": {"cascadio", "trimesh", "manifold3d"},
    }


def test_runs_without_the_optional_libraries():
    """Importing every module of the package may not import an extra: those are loaded where they are first used."""
    extras = ["CoolProp", "fluids", "dask", "distributed", "cascadio", "trimesh", "manifold3d"]
    script = f"""
import importlib, pkgutil, sys
for name in {["numba", *extras]!r}:
    sys.modules[name] = None  # an import of it now fails as if it were not installed
import hoistbook
for module in pkgutil.walk_packages(hoistbook.__path__, "hoistbook."):
    if not module.name.endswith("__main__"):
        importlib.import_module(module.name)
"""
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "src")}
    finished = subprocess.run(
        [sys.executable, "-c", script], check=False, capture_output=True, text=True, env=environment
    )
    assert finished.returncode == 0, finished.stderr


def locked() -> dict[str, list[tuple[Version, list[str]]]]:
    """Pinned versions of the lock by canonical name, each with its hashes."""
    pins: dict[str, list[tuple[Version, list[str]]]] = {}
    for block in re.split(r"^(?=[A-Za-z0-9])", LOCK, flags=re.MULTILINE):
        if block.strip():
            name, _, rest = block.partition("==")
            hashes = re.findall(r"^    --hash=sha256:([0-9a-f]{64})(?: \\)?$", block, flags=re.MULTILINE)
            pins.setdefault(canonicalize_name(name), []).append(
                (Version(re.split(r"[ \\]", rest)[0]), hashes)
            )
    return pins


def test_lock_pins_every_library_with_hashes():
    for name, pins in locked().items():
        for version, hashes in pins:
            assert hashes, f"{name}=={version} has no hash"


def test_lock_holds_nothing_but_pins_hashes_and_their_reasons():
    pin = r"[A-Za-z0-9][A-Za-z0-9._-]*==[^\s;]+( ; [^\\]+)? \\"
    line = re.compile(rf"{pin}|    --hash=sha256:[0-9a-f]{{64}}( \\)?|    # (via.*|  [\w .:()-]+)|")
    assert [text for text in LOCK.splitlines() if not line.fullmatch(text)] == []


def test_lock_names_no_address_and_no_path():
    assert re.findall(r"\S*(?:://|file:|index|find-links|/| -e |@ )\S*", LOCK) == []


def test_lock_satisfies_what_the_project_declares():
    declared = [
        *PROJECT["project"]["dependencies"],
        *PROJECT["project"]["optional-dependencies"]["fast"],
        *PROJECT["dependency-groups"]["dev"],
        *PROJECT["build-system"]["requires"],
    ]
    pins = locked()
    for text in declared:
        requirement = Requirement(text)
        versions = [version for version, _ in pins.get(canonicalize_name(requirement.name), [])]
        assert versions, f"{text}: not in requirements.lock; run make lock"
        assert all(requirement.specifier.contains(version) for version in versions), (
            f"{text}: locked {versions}"
        )


def test_lock_leaves_the_heavy_extras_out():
    pins = locked()
    for extra in ("cluster", "step"):
        for text in PROJECT["project"]["optional-dependencies"][extra]:
            assert canonicalize_name(Requirement(text).name) not in pins


def test_ci_runs_the_same_commands_as_a_person():
    script = (ROOT / ".ci" / "run").read_text()
    called = re.findall(r"^make ([\w-]+)$", script, flags=re.MULTILINE)
    assert set(called) >= {"lint", "build", "test"}
    assert called[-1] == "test"  # its closing line is the last thing printed
    assert "set -euo pipefail" in script
    assert os.access(ROOT / ".ci" / "run", os.X_OK)


def test_every_make_target_has_help():
    text = (ROOT / "Makefile").read_text()
    phony = re.search(r"^\.PHONY: (.*)$", text, flags=re.MULTILINE)
    assert phony is not None
    described = re.findall(r"^([a-z-]+):.*## ", text, flags=re.MULTILINE)
    assert set(phony[1].split()) == set(described)


def markdown_files() -> list[Path]:
    folders = ["docs", "changes", "examples"]
    return sorted(
        [*ROOT.glob("*.md"), *(path for folder in folders for path in (ROOT / folder).rglob("*.md"))]
    )


@pytest.mark.parametrize("path", markdown_files(), ids=lambda path: path.relative_to(ROOT).as_posix())
def test_links_between_pages_lead_somewhere(path):
    text = re.sub(r"^```.*?^```", "", path.read_text(), flags=re.MULTILINE | re.DOTALL)
    targets = re.findall(r"\]\(([^)\s#]+)(?:#[^)]*)?\)", text)
    inside = [target for target in targets if "://" not in target and not target.startswith("mailto:")]
    assert [target for target in inside if not (path.parent / target).exists()] == []


def test_decisions_are_numbered_without_gaps():
    numbers = sorted(int(path.name[:4]) for path in (ROOT / "docs" / "decisions").glob("[0-9]*.md"))
    assert numbers == list(range(1, len(numbers) + 1))


# Files, clock, process, network and randomness without a seed stay outside the core.
NOT_IN_CORE = {
    "os", "io", "pathlib", "tempfile", "shutil", "glob", "csv", "json", "tomllib", "sqlite3", "pickle", "logging",
    "time", "datetime", "random", "secrets", "subprocess", "socket", "urllib", "http", "asyncio",
}  # fmt: skip
ALLOWED_IN_CORE = (set(sys.stdlib_module_names) - NOT_IN_CORE) | {"numpy", "scipy", "numba"}


def core_modules() -> list[Path]:
    return sorted(CORE.rglob("*.py"))


def imported(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.module or ""


@pytest.mark.parametrize("path", core_modules(), ids=lambda path: path.relative_to(CORE).as_posix())
def test_core_uses_only_the_standard_library_numpy_and_scipy(path):
    tree = ast.parse(path.read_text())
    outside = [
        name
        for name in imported(tree)
        if not name.startswith("hoistbook.core") and name.partition(".")[0] not in ALLOWED_IN_CORE
    ]
    assert outside == []
    called = {
        node.func.id
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }
    assert not called & {"open", "print", "input", "eval", "exec"}


def numeric_expectations(tree: ast.AST) -> Iterator[int]:
    """Lines that assert something against a number that is not plainly a sign, a whole, a half or a double."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Assert):
            asserted = node.test
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            if not node.func.attr.startswith("assert_"):
                continue
            asserted = node
        else:
            continue
        floats = [
            n.value for n in ast.walk(asserted) if isinstance(n, ast.Constant) and type(n.value) is float
        ]
        if any(value not in (0.0, 0.5, 1.0, 2.0) for value in floats):
            yield node.lineno


@pytest.mark.parametrize(
    "path",
    sorted((ROOT / "tests").rglob("test_*.py")),
    ids=lambda path: path.relative_to(ROOT / "tests").as_posix(),
)
def test_numbers_in_tests_say_where_they_come_from(path):
    text = path.read_text()
    lines = list(numeric_expectations(ast.parse(text)))
    marked = re.search(rf"(?:#|\"\"\").*\b(?:{'|'.join(MARKS)})\b", text)
    assert not lines or marked, f"{path.name}: assertions in lines {lines} but no mark ({', '.join(MARKS)})"


def test_figures_in_the_readme_stand_in_the_validation_page():
    readme, page = ((ROOT / name).read_text() for name in ("README.md", "docs/validation.md"))
    held_out = re.search(r"each maker left out in turn \(UDDS, HWFET\) \| (\d+\.\d+)", page)[1]
    median = re.search(r"same maker: \d+ pairs, mean error\s+[\d.]+ %, median ([\d.]+) %", page)[1]
    # computed: docs/validation.md, written by `make validate`.
    assert f"**{float(held_out):.1f} %**" in readme
    assert f"**{float(median):.1f} %**" in readme
    pairs = re.search(r"(\d+) pairs known by their parts and (\d+) ", page)
    assert f"{int(pairs[1]) + int(pairs[2]):,} made-up pairs" in readme
    rows = re.findall(r"\| (?:cause|merged|decision): (?!rest)[^|]*\|[^|]*\| ([\d.]+)%", page)
    shares = [float(share) for share in rows]
    assert len(shares) >= 15
    assert all(93.0 <= share <= 97.0 for share in shares)
