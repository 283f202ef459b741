"""What a wheel carries, tried as a user would: built, installed in a clean place, run from elsewhere."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tarfile
import tomllib
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
DATA = ("rules", "schemas", "examples")


def _run(*call: str | Path, cwd: Path, env: dict[str, str] | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [str(word) for word in call], cwd=cwd, env=env, capture_output=True, text=True, check=False
    )


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the source archive and the wheel built from that archive, not from the checkout."""
    pytest.importorskip("hatchling", reason="hatchling builds the wheel")
    out = tmp_path_factory.mktemp("dist")
    made = _run(sys.executable, "-m", "hatchling", "build", "-t", "sdist", "-d", out, cwd=ROOT)
    assert made.returncode == 0, made.stderr
    unpacked = tmp_path_factory.mktemp("source")
    with tarfile.open(next(out.glob("*.tar.gz"))) as archive:
        archive.extractall(unpacked, filter="data")
    made = _run(
        sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", out, cwd=next(unpacked.iterdir())
    )
    assert made.returncode == 0, made.stderr
    return out


@pytest.fixture(scope="module")
def installed(built: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the wheel is installed (its bin); other packages are borrowed, so no network is needed."""
    home = tmp_path_factory.mktemp("clean")
    venv.create(home, with_pip=False, symlinks=True)
    bin_folder = home / "bin"
    wheel = next(built.glob("*.whl"))
    put = _run(
        sys.executable,
        "-m",
        "pip",
        "--python",
        bin_folder / "python",
        "install",
        "-q",
        "--no-deps",
        "--no-index",
        wheel,
        cwd=home,
    )
    assert put.returncode == 0, put.stderr
    packages = next((home / "lib").glob("python*/site-packages"))
    borrowed = {path for path in sys.path if Path(path).name in ("site-packages", "dist-packages")}
    (packages / "borrowed.pth").write_text("\n".join(sorted(borrowed)) + "\n", encoding="utf-8")
    return bin_folder


def _bare() -> dict[str, str]:
    return {"PATH": os.environ["PATH"], "LANG": "C.UTF-8", "NO_COLOR": "1"}


def _files(kind: str) -> set[str]:
    return {path.relative_to(ROOT / kind).as_posix() for path in (ROOT / kind).rglob("*") if path.is_file()}


@pytest.mark.parametrize("kind", DATA)
def test_wheel_carries_every_data_file(built: Path, kind: str) -> None:
    with zipfile.ZipFile(next(built.glob("*.whl"))) as wheel:
        names = {name for name in wheel.namelist() if not name.endswith("/")}
    prefix = f"coaxwright/_{kind}/"
    assert {name.removeprefix(prefix) for name in names if name.startswith(prefix)} == _files(kind)


def test_wheel_carries_every_module_and_the_licence(built: Path) -> None:
    with zipfile.ZipFile(next(built.glob("*.whl"))) as wheel:
        names = set(wheel.namelist())
    modules = {path.relative_to(ROOT / "engine").as_posix() for path in (ROOT / "engine" / "coaxwright").rglob("*.py")}
    assert modules <= names
    assert any(name.endswith("licenses/LICENSE") for name in names)
    outside = {name for name in names if not name.startswith("coaxwright")}
    assert not outside, "the wheel would put files beside the package"


@pytest.mark.slow("an installed wheel is run again and again")
def test_first_run_checks_no_rule_again(installed: Path, tmp_path: Path) -> None:
    """The wheel carries its rules ready to judge, found by content: no parser is loaded, whatever the machine."""
    program = (
        "import sys; from coaxwright.rulebook.loading import load_rulebook; from coaxwright.reading.tables import *\n"
        "print(load_rulebook().digest); load_generic_parts(); list(iterate_tables())\n"
        "print(sorted({'lark', 'coaxwright.language.typing_check', 'coaxwright.reading.table_files'} & set(sys.modules)))"
    )
    env = {**_bare(), "XDG_CACHE_HOME": str(tmp_path / "cache")}
    ran = _run(installed / "python", "-c", program, cwd=tmp_path, env=env)
    assert ran.returncode == 0, ran.stderr
    digest, loaded = ran.stdout.splitlines()
    assert loaded == "[]"
    from coaxwright.rulebook.loading import load_rulebook

    assert digest == load_rulebook(use_cache=False).digest, "the same rules as in the checkout"
    assert list((tmp_path / "cache" / "coaxwright").glob("*.json")), "kept for the next run, which is faster still"


@pytest.mark.slow("an installed wheel is run again and again")
def test_what_a_wheel_carries_is_not_believed_for_other_rules(installed: Path, tmp_path: Path) -> None:
    """One changed word in an installed rule file: that rule is checked anew, and the digest is another."""
    program = (
        "from coaxwright.rulebook import rule_files\nfrom coaxwright.rulebook.loading import load_rulebook\n"
        "from pathlib import Path\nimport shutil, sys\n"
        "first = load_rulebook().digest\nother = Path(sys.argv[1])\n"
        "shutil.copytree(rule_files.own_folder(), other)\nfile = other / 'power' / 'undervoltage.yaml'\n"
        "file.write_text(file.read_text().replace('title: ', 'title: No ', 1))\n"
        "rule_files.own_folder = lambda: other\nbook = load_rulebook()\n"
        "print(book.rule('power/undervoltage').title.startswith('No '), book.digest != first)"
    )
    env = {**_bare(), "XDG_CACHE_HOME": str(tmp_path / "cache")}
    ran = _run(installed / "python", "-c", program, tmp_path / "other", cwd=tmp_path, env=env)
    assert ran.stdout.split() == ["True", "True"], ran.stderr


@pytest.mark.slow("a wheel is built once more")
def test_build_fails_when_the_rules_are_missing(tmp_path: Path, built: Path) -> None:
    with tarfile.open(next(built.glob("*.tar.gz"))) as archive:
        archive.extractall(tmp_path, filter="data")
    source = next(tmp_path.iterdir())
    (source / "rules").rename(source / "not-rules")
    made = _run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", tmp_path / "out", cwd=source)
    assert made.returncode != 0
    assert not list((tmp_path / "out").glob("*.whl"))
    assert not list((tmp_path / "out").glob("coaxwright-kept-*"))


def test_installed_command_is_the_installed_one(installed: Path, tmp_path: Path) -> None:
    where = _run(
        installed / "python", "-c", "import coaxwright; print(coaxwright.__file__)", cwd=tmp_path, env=_bare()
    )
    assert where.stdout.startswith(str(installed.parent)), where.stdout + where.stderr


def test_installed_rules_are_all_listed(installed: Path, tmp_path: Path) -> None:
    listed = _run(installed / "coaxwright", "rules", "list", "--format", "json", cwd=tmp_path, env=_bare())
    assert listed.returncode == 0, listed.stderr
    in_files = {
        name.removesuffix(".yaml")
        for name in _files("rules")
        if name.endswith(".yaml")
        and not name.endswith(".cases.yaml")
        and not name.startswith(("tables/", "cases/", "quiz/", "facts/", "diagnosis/", "course/"))
        and "/" in name
    }
    assert {rule["id"] for rule in json.loads(listed.stdout)} == in_files
    assert in_files


def test_installed_check_gives_a_verdict(installed: Path, tmp_path: Path) -> None:
    """The example that ships, checked where no checkout is in sight: the same bytes as from the checkout."""
    program = "from coaxwright.resources import data_root; print(data_root('examples'))"
    root = _run(installed / "python", "-c", program, cwd=tmp_path, env=_bare()).stdout.strip()
    assert root.startswith(str(installed.parent))
    from_wheel = _run(installed / "coaxwright", "check", ".", "--format", "json", cwd=Path(root), env=_bare())
    assert from_wheel.returncode in {0, 1}, from_wheel.stderr
    here = {**_bare(), "PYTHONPATH": str(ROOT / "engine")}
    from_checkout = _run(
        sys.executable, "-m", "coaxwright", "check", ".", "--format", "json", cwd=ROOT / "examples", env=here
    )
    assert from_wheel.stdout == from_checkout.stdout
    assert json.loads(from_wheel.stdout)["sites"]


def test_lower_bounds_are_given_for_every_dependency() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lines = list(project["dependencies"])
    for extra in project["optional-dependencies"].values():
        lines += [line for line in extra if not line.startswith("coaxwright")]
    assert all(">=" in line for line in lines), lines
