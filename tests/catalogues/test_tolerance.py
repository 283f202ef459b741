"""A voltage with a tolerance in percent says the same as the window that it stands for (12 V, 10 %: 10.8 to 13.2 V, by hand)."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from pydantic import ValidationError

from coaxwright.cli.main import run
from coaxwright.model.part_base import PowerInput

USUAL = "volts: 12 V, volts_min: 10.8 V, volts_max: 13.2 V"
BOATYARD = Path(__file__).resolve().parents[2] / "examples" / "boatyard"


@pytest.mark.parametrize(
    ("stated", "window"),
    [
        ({"volts": "12 V", "volts_tolerance": "10 %"}, (10.8, 13.2)),
        ({"volts": "24 V", "volts_tolerance": "25 %"}, (18.0, 30.0)),
        ({"volts": "12 V", "volts_tolerance": "0 %"}, (12.0, 12.0)),
        ({"volts": "12 V", "volts_tolerance": "10 %", "volts_min": "9 V"}, (9.0, 13.2)),
        ({"volts": "12 V", "volts_tolerance": "10 %", "volts_max": "14 V"}, (10.8, 14.0)),
        ({"volts_tolerance": "10 %"}, (None, None)),
        ({"volts": "12 V"}, (None, None)),
    ],
)
def test_the_window(stated: dict[str, str], window: tuple[float | None, float | None]) -> None:
    power = PowerInput.model_validate(stated)
    assert (power.volts_min, power.volts_max) == window


@pytest.mark.parametrize("wrong", ["10 V", "110 %", "-5 %", "some"])
def test_a_tolerance_that_is_none_is_named(wrong: str) -> None:
    with pytest.raises(ValidationError, match="volts_tolerance"):
        PowerInput.model_validate({"volts": "12 V", "volts_tolerance": wrong})


JUDGED = ("rule", "subject", "level", "kind", "line", "message", "working", "margin", "values", "missing")
SAID = {"window": "volts: 12 V, volts_min: 11.88 V, volts_max: 12.12 V", "tolerance": "volts: 12 V, volts_tolerance: 1 %"}


def test_a_check_says_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """So narrow a window that the yard's runs fall short of it; by hand 12 V less 1 % is 11.88 V."""
    told = []
    for name, window in SAID.items():
        yard = tmp_path / name
        shutil.copytree(BOATYARD, yard)
        changed = 0
        for file in (yard / "parts").glob("*.yaml"):
            text = file.read_text(encoding="utf-8")
            changed += text.count(USUAL)
            file.write_text(text.replace(USUAL, window), encoding="utf-8")
        capsys.readouterr()
        assert (changed, run(["check", str(yard / "alder-wharf.site.yaml"), "--format", "json"])) == (2, 1)
        said = json.loads(capsys.readouterr().out)["sites"][0]["findings"]
        told.append([{key: each[key] for key in JUDGED} for each in said])
    assert any(each["rule"] == "power/undervoltage" for each in told[0])
    assert told[0] == told[1]
