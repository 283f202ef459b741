"""What `propose` says where nothing is found: which rule stands in the way, and what the nearest part lacks.

The figures are worked out here by hand: columns over the width that a lens sees, by similar
triangles (width = distance x sensor / focal length).
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from coaxwright.cli.main import run
from coaxwright.proposals.shopping import Shop
from coaxwright.reading.catalogue import build_catalogue

ROOT = Path(__file__).parents[2]
NURSERY = ROOT / "examples" / "plant-nursery" / "parts"


@pytest.fixture
def asked(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Any:
    """Ask for a system of cameras, given as YAML; the answer as JSON, with the written file's text where there is one."""

    def ask(cameras: str, positions: str = "shop: {place: {setting: indoor, building: shop}}") -> dict[str, Any]:
        site = tmp_path / "wants.site.yaml"
        parts = [str(path) for path in sorted(NURSERY.glob("*.yaml"))]
        (tmp_path / "parts").mkdir(exist_ok=True)
        for path in parts:
            (tmp_path / "parts" / Path(path).name).write_bytes(Path(path).read_bytes())
        site.write_text(
            f"site: Bakery\nvideo_rate: 25\nretention: 10 days\nparts: [parts/*.yaml]\npositions: {{{positions}}}\n"
            f"cameras:\n{cameras}", encoding="utf-8",
        )  # fmt: skip
        made = tmp_path / "made.site.yaml"
        made.unlink(missing_ok=True)
        run(["propose", str(site), "--output", str(made), "--format", "json"])
        told: dict[str, Any] = json.loads(capsys.readouterr().out)
        return {**told, "text": made.read_text(encoding="utf-8") if made.exists() else ""}

    return ask


def why(answer: dict[str, Any], subject: str) -> str:
    return str(next(each["why"] for each in answer["in_the_way"] if each["subject"] == subject))


def density(part: str, metres: float) -> float:
    """Columns over the width of what a part's lens sees at a distance, from its entry as PyYAML reads it."""
    found = [yaml.safe_load(path.read_text(encoding="utf-8"))["parts"] for path in NURSERY.glob("*.yaml")]
    entry = next(each[part] for each in found if part in each)
    focal, sensor = (float(entry["optics"][key].removesuffix(" mm")) for key in ("focal_min", "sensor_width"))
    texts = json.dumps(entry["emits"])
    columns = max(int(each) for each in re.findall(r"(\d+)x\d+@", texts))
    return columns / (metres * sensor / focal)


def test_the_nearest_part_is_named_with_what_it_lacks(asked: Any) -> None:
    told = why(
        asked("  door: {wants: {see: identify, at: 6 m, rate: 12 fps}, distances: {shop: 18 m}}\n"), "cameras/door"
    )
    assert "set aside by view/density-low" in told
    assert "Nearest comes tarnwell/turret-5: it is to identify at 6 m, which takes 250 px/m" in told
    assert f"{density('tarnwell/turret-5', 6):.1f} px/m" in told


def test_a_way_between_two_buildings_needs_power_of_its_own_building(asked: Any) -> None:
    mast = "  mast: {wants: {rate: 8 fps}, place: {setting: outdoor, building: yard}, distances: {shop: 40 m}}\n"
    told = why(asked(mast), "cameras/mast")
    assert told.startswith("no supply and power cable of the catalogue feeds a camera that would do. Nearest comes")
    assert "its minus joins the two; this needs review by a licensed electrician" in told


def test_a_warning_that_every_camera_has_is_told_and_does_not_stand_in_the_way(asked: Any) -> None:
    """At 5 m the best lens has less than the tenth that is left for aim and focus: a warning, no error."""
    assert 250 <= density("tarnwell/turret-5", 5) < 275, "within a tenth of what identify takes (IEC 62676-4: 250 px/m)"
    answer = asked(
        "  door: {wants: {see: identify, at: 5 m, rate: 12 fps}, place: {setting: indoor}, distances: {shop: 18 m}}\n"
    )
    assert answer["in_the_way"] == []
    assert "Checked as a whole: 0 errors, 1 warning" in answer["text"]


def test_ways_with_an_arrester_at_each_end_are_offered() -> None:
    catalogue = build_catalogue([(path, str(path)) for path in NURSERY.glob("*.yaml")])
    ways = Shop(catalogue).picture_ways
    arrested = [way for way in ways if "generic/arrester-coax" in [name for _, name in way.hops]]
    assert {way.hops[0] for way in arrested} == {("box", "generic/arrester-coax")}
    for way in arrested:
        boxes = [name for what, name in way.hops if what == "box"]
        assert boxes.count("generic/arrester-coax") == 2
        assert boxes[-1] in ("generic/arrester-coax", "generic/isolator-coax")
