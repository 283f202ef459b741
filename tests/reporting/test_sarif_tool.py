"""SARIF is judged by the validator that the authors of the standard's library publish (npm, `.ci/run` installs it).

Its rules are those of OASIS SARIF 2.1.0 and of services that take the form. One of its remarks stands: the tool has no
address of its own (`informationUri`).
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path

import pytest
from tests.conftest import FULL

from coaxwright.cli.main import run

ROOT = Path(__file__).resolve().parents[2]
CLIENTS = Path(os.environ.get("COAXWRIGHT_CLIENTS") or ROOT / ".venv" / "clients")
pytestmark = pytest.mark.real("the validator of SARIF (npm)")
STANDS = {"SARIF2005"}
SITE = Path("alder-wharf.site.yaml")


@pytest.fixture(scope="module")
def validator() -> Path:
    found = next(CLIENTS.glob("node_modules/@microsoft/sarif-multitool-*/Sarif.Multitool*"), None)
    if found is None:
        pytest.skip("the validator of SARIF (npm) is not there: COAXWRIGHT_CLIENTS names the folder that it is installed in")
    return found.with_name("Sarif.Multitool")


@pytest.fixture
def site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A site with two errors."""
    shutil.copytree(ROOT / "examples" / "boatyard", tmp_path / "yard")
    monkeypatch.chdir(tmp_path / "yard")
    SITE.write_text(SITE.read_text(encoding="utf-8").replace("length: 85 m", "length: 285 m"), encoding="utf-8")
    return tmp_path / "yard"


def _remarks(validator: Path, name: str) -> set[str]:
    """Rules of the validator that a file breaks, at level error or warning."""
    call = [validator, "validate", name, "--rule-kind", "Sarif;Ghas", "--level", "Error;Warning",
            "--output", "said.sarif", "--log", "ForceOverwrite"]  # fmt: skip
    done = subprocess.run(call, capture_output=True, text=True, timeout=300, check=False)
    told = json.loads(Path("said.sarif").read_text(encoding="utf-8-sig"))["runs"][0]
    assert told["invocations"][0]["executionSuccessful"], done.stdout
    found = {each["ruleId"] for each in told.get("results", [])}
    assert found, "it has something to say of every file of ours: it did read it"
    return found


def test_all_that_we_write_is_valid(validator: Path, site: Path) -> None:
    fixes = ["--fixes"] if FULL else []  # they take half a minute; test_other_tools applies them
    run(["check", ".", *fixes, "--format", "sarif", "--output", "fixes.sarif"])
    assert ('"artifactChanges"' in Path("fixes.sarif").read_text(encoding="utf-8")) == FULL
    run(["check", ".", "--write-baseline", "known.json"])
    SITE.write_text(SITE.read_text(encoding="utf-8").replace("length: 285 m", "length: 90 m", 1), encoding="utf-8")
    Path("broken.site.yaml").write_text("site: [\n", encoding="utf-8")
    assert run(["check", ".", "--baseline", "known.json", "--format", "sarif", "--output", "since.sarif"]) == 2
    assert '"absent"' in Path("since.sarif").read_text(encoding="utf-8")
    assert _remarks(validator, "fixes.sarif") <= STANDS
    assert _remarks(validator, "since.sarif") <= STANDS


def test_the_validator_sees_what_is_wrong(validator: Path, site: Path) -> None:
    run(["check", ".", "--format", "sarif", "--output", "ours.sarif"])
    text = Path("ours.sarif").read_text(encoding="utf-8")
    for old, new in (('"startLine": 3', '"startLine": -3'), ('"kind": "fail"', '"kynd": "fail"')):
        assert old in text
        Path("wrong.sarif").write_text(text.replace(old, new), encoding="utf-8")
        assert _remarks(validator, "wrong.sarif") - STANDS
