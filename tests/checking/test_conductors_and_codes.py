"""Sites that used to pass, or were not asked at all: thin cords, clad pairs, the code in force, wet places, new modes.

What each should say is worked by hand or published; the source stands beside each.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from coaxwright.checking import check, load_site

PARTS: dict[str, Any] = {
    "aa/cam": {"kind": "camera", "source": "invented", "emits": [{"family": ["tvi", "cvi"], "mode": ["1920x1080@25"]}],
               "starts_as": {"family": "tvi", "mode": "1920x1080@25"},
               "power": {"volts": "12 V", "volts_min": "10.8 V", "volts_max": "13.2 V", "watts_day": "90 W",
                         "watts_night": "90 W"}},
    "aa/rec": {"kind": "recorder", "source": "invented",
               "inputs": [{"channels": "1-4", "accepts": [{"family": ["tvi", "cvi"], "mode": ["1920x1080@25"]}]}]},
    "aa/psu": {"kind": "supply", "source": "invented", "volts": "12 V", "amps": "30 A", "outputs": 4, "amps_per_output": "30 A",
               "output_protection": "fuse"},
}  # fmt: skip


def said(tmp_path: Path, site: dict[str, Any], parts: dict[str, Any] | None = None) -> list[Any]:
    (tmp_path / "parts.yaml").write_text(json.dumps({"parts": {**PARTS, **(parts or {})}}), encoding="utf-8")
    file = tmp_path / "x.site.yaml"
    file.write_text(json.dumps({"site": "one", "parts": ["parts.yaml"], **site}), encoding="utf-8")
    return list(check(load_site(file)).findings)


def of(findings: list[Any], rule: str, kind: str = "fail") -> list[Any]:
    return [each for each in findings if each.rule == rule and each.kind == kind]


def test_a_thin_cord_behind_a_strong_fuse(tmp_path: Path) -> None:
    """9.3 A in 0.5 mm2 behind 30 A: DIN VDE 0298-4 Table 11 has 3 A for a cord of 0.5 mm2 (IEC 60335-1 Table 11 the same)."""
    way = {"from": "p/1", "over": [{"cable": "dc-0.5mm2", "length": "3 m"}]}
    found = said(tmp_path, {"supplies": {"p": {"part": "aa/psu"}}, "cameras": {"c": {"part": "aa/cam", "power": way}}})
    assert [each.level for each in of(found, "power/conductor-overloaded")] == ["error"]
    assert of(found, "power/conductor-unprotected")


def test_clad_aluminium_in_a_network_cable(tmp_path: Path) -> None:
    """NEC 800.179, UL 444 clause 5.1.1, TIA-568-C.2 clause 5.3: copper."""
    camera = {"kind": "camera", "source": "invented", "emits": [{"family": "tvi", "mode": "1920x1080@25"}],
              "power": {"kind": "poe", "volts": "48 V", "watts_day": "5 W", "watts_night": "6 W", "poe_class": 2}}  # fmt: skip
    switch = {"kind": "switch", "source": "invented", "ports": 8, "poe_ports": 8, "poe_watts": "60 W", "poe_class_port": 4}
    way = {"from": "w/1", "over": [{"cable": "cat5e-cca", "length": "60 m"}]}
    site = {"wiring_code": "nec-2023", "switches": {"w": {"part": "aa/sw"}}, "cameras": {"c": {"part": "aa/net", "power": way}}}
    (found,) = of(said(tmp_path, site, {"aa/net": camera, "aa/sw": switch}), "cable/clad-pair")
    assert found.level == "error"
    assert "fire" in found.caution


@pytest.mark.parametrize("code", ["nec-2020", "nec-2023", "nec-2026", "iec-60364"])
@pytest.mark.parametrize(("volts", "gives", "fails"), [("24 V", "ac", True), ("24 V", "dc", False), ("48 V", "dc", True)])
def test_what_may_be_touched_outdoors(tmp_path: Path, code: str, volts: str, gives: str, fails: bool) -> None:
    """NEC article 100: 15 V ac rms, 30 V dc in wet places; IEC 60364-4-41 414.4.5 (from memory): 12 V and 30 V."""
    way = {"from": "p/1", "over": [{"cable": "dc-1.5mm2", "length": "3 m"}]}
    camera = {"part": "aa/cam", "power": way, "place": {"setting": "outdoor"}}
    site = {"wiring_code": code, "supplies": {"p": {"part": "aa/psu"}}, "cameras": {"c": camera}}
    found = of(said(tmp_path, site, {"aa/psu": {**PARTS["aa/psu"], "volts": volts, "gives": gives}}), "power/wet-contact-voltage")
    assert bool(found) is fails
    assert all("eview" in each.message for each in found)


@pytest.mark.parametrize(("code", "article"), [("nec-2020", "725.121"), ("nec-2023", "725.60"), ("nec-2026", "721")])
def test_each_edition_has_its_own_articles(tmp_path: Path, code: str, article: str) -> None:
    """NEC 2020 725.121, 2023 725.60, 2026 article 721 (common practice: a trade guide of 2026)."""
    way = {"from": "p/1", "over": [{"cable": "dc-1.5mm2", "length": "3 m"}]}
    site = {"wiring_code": code, "supplies": {"p": {"part": "aa/psu"}}, "cameras": {"c": {"part": "aa/cam", "power": way}}}
    (found,) = of(said(tmp_path, site, {"aa/psu": {**PARTS["aa/psu"], "class2": False}}), "power/class2-not-stated")
    assert article in found.message


@pytest.mark.parametrize("signal", ["tvi 2880x1620@25", "tvi 2960x1665@15", "tvi 3200x1800@20", "tvi 2592x1944@25",
                                    "cvi 2592x1944@12.5", "cvi 1920x1080@50"])  # fmt: skip
def test_modes_of_todays_cameras_are_judged(tmp_path: Path, signal: str) -> None:
    """600 m of RG-59 is beyond all published reaches of such modes (150 to 500 m: common practice)."""
    assert of(_at_600_m(tmp_path, signal), "cable/loss-beyond-limit")


@pytest.mark.parametrize("signal", ["tvi 3840x2160@25", "cvi 3840x2160@25"])
def test_a_mode_without_a_published_limit_asks_the_site_for_one(tmp_path: Path, signal: str) -> None:
    """At a clock of 297 MHz nobody publishes a limit; 12 dB stated is less than 600 m lose at any frequency above 10 MHz."""
    (found,) = of(_at_600_m(tmp_path, signal), "cable/loss-beyond-limit", "open")
    family, mode = signal.split()
    assert found.missing == (f"modes/{family}/{mode}/loss_limit",)
    own = {"modes": [{"family": family, "mode": mode, "loss_limit": "12 dB"}]}
    cable = {"kind": "cable", "source": "invented", "carries": ["coax"], "attenuation": [[1, 1.0], [10, 3.0], [1000, 30.0]]}
    assert of(_at_600_m(tmp_path, signal, own, cable), "cable/loss-beyond-limit")


def _at_600_m(tmp_path: Path, signal: str, more: dict[str, Any] | None = None, cable: Any = None) -> list[Any]:
    family, mode = signal.split()
    row = {"family": family, "mode": mode}
    parts = {
        "aa/cam": {"kind": "camera", "source": "invented", "emits": [row], "starts_as": row},
        "aa/rec": {"kind": "recorder", "source": "invented", "inputs": [{"channels": "1-4", "accepts": [row]}]},
        **({} if cable is None else {"aa/coax": cable}),
    }
    over = [{"cable": "rg59-copper" if cable is None else "aa/coax", "length": "600 m"}]
    cameras = {"c": {"part": "aa/cam", "video": {"into": "r/1", "over": over}}}
    return said(tmp_path, {"recorders": {"r": {"part": "aa/rec"}}, "cameras": cameras, **(more or {})}, parts)
