"""What a catalogue check finds: each mistake planted into a sound entry, and the sound entry passes."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest
import yaml

from coaxwright.catalogues.linting import Remark, remarks_on
from coaxwright.catalogues.units import feet_for_metres
from coaxwright.checking import load_rulebook
from coaxwright.cli.main import run
from coaxwright.reading.catalogue import build_catalogue

ROOT = Path(__file__).resolve().parents[2]
BOATYARD = ROOT / "examples" / "boatyard" / "parts"
SOUND: dict[str, Any] = {
    name: entry
    for path in sorted(BOATYARD.glob("*.yaml"))
    for name, entry in yaml.load(path.read_text(encoding="utf-8"), yaml.BaseLoader)["parts"].items()
} | {
    "hollin/coax": {
        "kind": "cable", "source": "invented", "carries": ["coax"], "impedance": "75 ohm",
        "attenuation": [["1", "0.9"], ["10", "2.9"], ["100", "9.4"], ["1000", "32"]],
    },
    "hollin/feed": {
        "kind": "cable", "source": "invented", "carries": ["power"],
        "conductor": {"size": "1 mm2", "material": "copper", "resistance": "19.5 ohm/km"},
    },
    "hollin/balun": {"kind": "box", "source": "invented", "does": "balun", "reach": "300 m", "loss": "1 dB"},
}  # fmt: skip


def remarks(tmp_path: Path, parts: dict[str, Any]) -> list[Remark]:
    path = tmp_path / "p.yaml"
    path.write_text(json.dumps({"parts": parts}), encoding="utf-8")
    text = path.read_text().replace('"true"', "true").replace('"false"', "false")
    for number in ("9", "1", "2"):
        text = text.replace(f': "{number}"', f": {number}")
    import re

    text = re.sub(
        r'"(price|line_inputs|line_outputs|bays|outputs|f_number|cameras|cameras_max|viewers)": "([0-9.]+)"',
        r'"\1": \2',
        text,
    )
    text = re.sub(r'\["([0-9.]+)", "([0-9.]+)"\]', r"[\1, \2]", text)
    path.write_text(text, encoding="utf-8")
    return remarks_on(build_catalogue([(path, "p.yaml")]))


def changed(name: str, path: str, value: Any) -> dict[str, Any]:
    parts = copy.deepcopy(SOUND)
    here = parts[name]
    *groups, last = path.split("/")
    for step in groups:
        here = here[int(step)] if step.isdecimal() else here[step]
    here[last] = value
    return parts


def test_sound_parts_pass(tmp_path: Path) -> None:
    assert remarks(tmp_path, SOUND) == []


PLANTED = [
    ("fennick/turret-5", "power/volts_min", "12.5 V", "impossible", "below `volts_min`"),
    ("fennick/turret-5", "power/watts_day", "7 W", "impossible", "`watts_night`"),
    ("fennick/turret-5", "housing/temperature_min", "70 °C", "impossible", "`temperature_max`"),
    ("fennick/turret-5", "optics/focal_min", "12 mm", "impossible", "`focal_max`"),
    ("fennick/turret-5", "starts_as/mode", "3840x2160@15", "impossible", "not among what it emits"),
    ("fennick/turret-5", "night/lamp", "none", "impossible", "no lamp"),
    ("tarnwell/hybrid-8", "sorted_motion", "1-16", "impossible", "no such input"),
    ("tarnwell/hybrid-8", "sound/coax_channels", "1-9", "impossible", "channel 9"),
    ("tarnwell/hybrid-8", "encodes_total", "52 Mpx/s", "impossible", "63 Mpx/s"),
    ("tarnwell/hybrid-8", "network/cameras_max", 1, "impossible", "`cameras_max`"),
    ("tarnwell/dc12-10a-9way", "trim_max", "11.8 V", "impossible", "`trim_max`"),
    ("tarnwell/dc12-10a-9way", "amps_per_output", "12 A", "impossible", "`amps`"),
    ("hollin/coax", "attenuation", [["1", "0.9"], ["10", "2.9"], ["5", "4"]], "impossible", "5 MHz stands after"),
    ("hollin/coax", "attenuation", [["1", "0.9"], ["10", "2.9"], ["100", "2.4"]], "impossible", "falls"),
    ("hollin/balun", "gain", "3 dB", "impossible", "does not gain"),
    ("tarnwell/disk-8tb", "capacity", "8 GB", "unit", "GB for TB"),
    ("tarnwell/disk-8tb", "capacity", "8 TiB", "unit", "powers of ten"),
    ("tarnwell/hybrid-8", "disk_max", "10 GB", "unit", "TB for GB"),
    ("tarnwell/hybrid-8", "record_bitrate", "96 Gb/s", "unit", "Gb for Mb"),
    ("tarnwell/hybrid-8", "network/incoming", "32 kb/s", "unit", "megabits"),
    ("tarnwell/hybrid-8", "bitrates",
     [{"up_to": "1920x1080", "rate": "25 fps", "codec": "h264", "bitrate": "4 Gb/s"}], "unit", "one stream"),
    ("fennick/turret-5", "night/lamp_range", "98 m", "unit", "30 m in feet"),
    ("hollin/balun", "reach", "984 m", "unit", "300 m in feet"),
    ("fennick/turret-5", "power/watts_night", "5800 W", "unit", "mW"),
    ("fennick/turret-5", "optics/focal_max", "360 mm", "unit", "focal length"),
    ("tarnwell/dc12-10a-9way", "amps", "10000 A", "unit", "mA"),
    ("hollin/coax", "attenuation", [["1", "0.27"], ["10", "0.88"], ["100", "1.4"], ["1000", "9.8"]], "unit", "100 ft"),
    ("hollin/feed", "conductor/resistance", "39 ohm/km", "unit", "loop"),
    ("hollin/feed", "conductor/resistance", "5.9 ohm/km", "unit", "1000 ft"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "path", "value", "about", "words"), PLANTED, ids=[f"{p[0]}-{p[1]}-{p[2]}"[:60] for p in PLANTED]
)
def test_planted_mistakes(tmp_path: Path, name: str, path: str, value: Any, about: str, words: str) -> None:
    found = remarks(tmp_path, changed(name, path, value))
    assert [each.part for each in found] == [name] * len(found)
    hits = [each for each in found if words in f"{each.what}; {each.right}"]
    assert hits, found
    assert hits[0].about == about
    assert hits[0].level == ("error" if about == "impossible" else "warning")
    assert hits[0].file == "p.yaml"


def test_inputs_in_two_groups(tmp_path: Path) -> None:
    parts = copy.deepcopy(SOUND)
    group = copy.deepcopy(parts["tarnwell/hybrid-8"]["inputs"][0])
    parts["tarnwell/hybrid-8"]["inputs"].append({**group, "channels": "8-9"})
    assert [each.what for each in remarks(tmp_path, parts)] == ["input 8 stands in two groups"]


def test_entries_twice(tmp_path: Path) -> None:
    parts = {**SOUND, "fennick/copy": {**SOUND["fennick/turret-5"], "title": "another name", "price": "9"}}
    found = remarks(tmp_path, parts)
    assert [(each.part, each.about) for each in found] == [("fennick/copy", "duplicate")]


@pytest.mark.parametrize(
    ("metres", "feet"), [(98.0, 30), (98.4, 30), (164.0, 50), (30.0, None), (100.0, None), (97.0, None), (None, None)]
)
def test_feet_taken_for_metres(metres: float | None, feet: int | None) -> None:
    """30 m is 98.4 ft, 50 m is 164.0 ft (1 ft = 0.3048 m, NIST SP 811)."""
    assert feet_for_metres(metres) == feet


def test_facts_that_leave_rules_open(tmp_path: Path) -> None:
    bare = {
        "tarnwell/bare": {"kind": "camera", "source": "invented", "emits": [{"family": "tvi", "mode": "1920x1080@25"}]}
    }
    path = tmp_path / "p.yaml"
    path.write_text(json.dumps({"parts": bare}), encoding="utf-8")
    found = remarks_on(build_catalogue([(path, "p.yaml")]), load_rulebook())
    opened = {each.what.split("`")[1]: each.what for each in found}
    assert {each.level for each in found} == {"note"}
    assert {"power", "housing/ip", "sound/microphone", "firmware_over_coax"} <= set(opened)
    assert "which leaves" in opened["power"]


def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    files = str(BOATYARD / "*.yaml")
    assert run(["parts", "check", files, "--no-open"]) == 0
    assert capsys.readouterr().out == "0 errors, 0 warnings, 0 notes\n"
    path = tmp_path / "bad.yaml"
    path.write_text("parts:\n  a/d:\n    kind: disk\n    source: invented\n    capacity: 4 GB\n", encoding="utf-8")
    assert run(["parts", "check", str(path)]) == 1
    assert "bad.yaml:5:15: warning: a/d: 4 GB is no size of a disk" in capsys.readouterr().out
    assert run(["parts", "check", str(path), "--format", "json", "--no-open"]) == 1
    assert [(each["line"], each["about"]) for each in json.loads(capsys.readouterr().out)] == [(5, "unit")]
    assert run(["parts", "check", str(tmp_path / "none*.yaml")]) == 2


def test_a_mode_without_figures_is_told_with_what_may_be_meant() -> None:
    """2560 columns beside 1944 lines: a slip for 2592 (4:3 of a 5 MP sensor), which common practice lists."""
    file = ROOT / "tests/fixes/brewery/parts/catalogue.yaml"
    catalogue = build_catalogue([(file, file.name)])
    told = [each for each in remarks_on(catalogue, load_rulebook()) if "no table has figures" in each.what]
    assert [(each.part, each.level, each.about) for each in told] == [("wren/t5", "note", "open")]
    assert "2560x1944@20" in told[0].what
    assert told[0].right.startswith("is 2592x1944@20 meant?")
