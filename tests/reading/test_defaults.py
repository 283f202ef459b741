"""Defaults of a site: a site that states them is the site that says all of it in every entry. The two are written out side by
side here; the facts of both have to be the same, whatever computes them.
"""

from __future__ import annotations

import copy
import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from coaxwright.checking import check, explain_subject, load_site
from coaxwright.cli.main import run
from coaxwright.errors import Refusal
from coaxwright.reading.defaults import laid_over
from coaxwright.reading.site_reader import LoadedSite, load_site_text
from coaxwright.reading.yaml_source import read_document
from coaxwright.show.plain_data import plain

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*/*.site.yaml"))


def _facts(loaded: LoadedSite) -> Any:
    return plain(check(loaded).facts)


@pytest.mark.parametrize("site", EXAMPLES, ids=lambda site: site.stem)
def test_what_all_say_may_be_said_once(site: Path) -> None:
    """The commonest values of each example moved into `defaults`: nothing that follows differs."""
    value = copy.deepcopy(read_document(site).value)
    cameras = value["cameras"]
    defaults: dict[str, Any] = {"place": {}, "wants": {}, "cable": {}}
    for group in ("place", "wants"):
        keys = sorted({key for each in cameras.values() for key in each.get(group, {})})
        for key in keys:
            said = [each.get(group, {}).get(key) for each in cameras.values()]
            if None not in said:
                defaults[group][key] = max(set(said), key=lambda one: (said.count(one), one))
    for use in ("video", "power"):
        hops = [hop for each in cameras.values() for hop in each.get(use, {}).get("over", []) if "cable" in hop]
        names = [hop["cable"] for hop in hops]
        if names:
            defaults["cable"][use] = max(set(names), key=lambda one: (names.count(one), one))
            for hop in hops:
                if hop["cable"] == defaults["cable"][use]:
                    del hop["cable"]
    for each in cameras.values():
        for group in ("place", "wants"):
            for key, common in defaults[group].items():
                if each[group].get(key) == common:
                    del each[group][key]
    value["defaults"] = defaults
    short = load_site_text(json.dumps(value), "short.site.yaml", site.parent)
    assert short.defaulted
    assert _facts(short) == _facts(load_site(site))


def _yard(extra: str = "", **changes: str) -> LoadedSite:
    folder = ROOT / "examples" / "boatyard"
    text = next(folder.glob("*.site.yaml")).read_text(encoding="utf-8").replace("\nrecorders:", f"\n{extra}\nrecorders:", 1)
    for before, after in changes.items():
        text = text.replace(before, after)
    return load_site_text(text, "yard.site.yaml", folder)


def test_the_nearest_word_wins_on_an_example() -> None:
    loaded = _yard("""\
defaults:
  place: {coastal: true, reach: hand}
  wants: {rate: 2 fps, night: true}
  buildings: {office: {place: {coastal: false}, wants: {night: false}}}
""")
    for camera in loaded.site.cameras.values():
        assert camera.place is not None
        assert camera.wants is not None
        assert camera.place.coastal is False, "the building's word comes before the site's"
        assert camera.wants.night is False
        assert camera.wants.rate != 2, "its own word wins"
    assert loaded.site.recorders["rec1"].place is not None
    assert loaded.site.recorders["rec1"].place.coastal is None, "`place` is of cameras"


def test_laying_twice_is_laying_once() -> None:
    loaded = _yard("defaults: {place: {coastal: true}, device_place: {damp: true}, record: {rate: 5 fps}}")
    again, told = laid_over(loaded.site)
    assert again == loaded.site
    assert told == ()


def test_a_report_tells_what_came_from_defaults() -> None:
    loaded = _yard("defaults: {place: {coastal: true}, wants: {night: true}}")
    told = [(each.what, each.value, each.count) for each in check(loaded).assumed if "under `defaults" in each.source]
    assert told == [("place/coastal of cameras", "yes", 6), ("wants/night of cameras", "yes", 6)]


def test_explain_names_the_place_of_a_default() -> None:
    loaded = _yard("defaults: {place: {ambient_max: 41 °C}}\n")
    (warmest,) = [
        each for each in explain_subject(loaded, "cameras/slipway", provenance=True) if each.name == "camera.ambient_max"
    ]
    line = next(number for number, each in enumerate(loaded.document.text.splitlines(), 1) if each.startswith("defaults:"))
    assert warmest.value == 41
    assert warmest.provenance is not None
    assert [(each.path, each.line) for each in warmest.provenance.stated] == [
        ("cameras/slipway/place/ambient_max (defaults/place/ambient_max)", line)
    ]


def test_what_is_wrong_in_defaults_is_told_once_and_there(capfd: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(Refusal) as refused:
        _yard("defaults: {cable: {video: rg59-coper}, buildings: {barn: {cable: {power: tarnwell/dome-2}}}}")
    told = [str(each) for each in refused.value.problems]
    assert len(told) == 2
    assert "rg59-copper" in told[0]
    assert "is a camera; a cable run needs a cable part" in told[1]
    with pytest.raises(Refusal) as refused:
        _yard("defaults: {place: {seting: indoor}}")
    assert "did you mean `setting`" in str(refused.value.problems[0])


def test_a_change_is_proven_and_written_with_defaults(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A site whose cables come from `defaults` is mended like one that writes them; the file keeps its defaults."""
    folder = tmp_path / "press"
    shutil.copytree(ROOT / "examples" / "cider-press", folder)
    site = next(folder.glob("*.site.yaml"))
    text = site.read_text(encoding="utf-8")
    short = text.replace("cable: dc-0.5mm2, length: 70 m", "length: 70 m").replace(
        "\nrecorders:", "\ndefaults: {cable: {power: dc-0.5mm2}}\nrecorders:", 1
    )
    assert short.count("dc-0.5mm2, ") < text.count("dc-0.5mm2, ")
    outputs = []
    for each in (text, short):
        site.write_text(each, encoding="utf-8")
        capfd.readouterr()
        run(["fix", str(site), "--on", "power/undervoltage", "--format", "json", "--today", "2026-12-01"])
        outputs.append([fix["title"] for fix in _all_fixes(json.loads(capfd.readouterr().out))])
    assert outputs[0] == outputs[1]
    assert outputs[0]


def _all_fixes(data: Any) -> list[dict[str, Any]]:
    if isinstance(data, dict):
        own = [data] if "patch" in data and "title" in data else []
        return own + [each for value in data.values() for each in _all_fixes(value)]
    return [each for value in data for each in _all_fixes(value)] if isinstance(data, list) else []
