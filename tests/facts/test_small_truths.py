"""Small facts one by one: tables in code, counts of what was assumed, the warmest of two runs; and a working for every fact."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Any

import pytest

from coaxwright.facts.assumed import Ledger
from coaxwright.facts.binding import Facts, compute_facts
from coaxwright.facts.physics import coax
from coaxwright.facts.picture.coax_path import fits
from coaxwright.facts.picture.signals import RANK
from coaxwright.facts.power.cable_ohms import conductor_ohms
from coaxwright.facts.sheets import SHEETS
from coaxwright.facts.sheets.declared import STEPS
from coaxwright.facts.workings import _TABLES
from coaxwright.model.rules import Case
from coaxwright.model.wiring_parts import CablePart
from coaxwright.reading.site_reader import read_site
from coaxwright.reading.tables import load_assumptions
from coaxwright.rulebook.cases import case_site, load_bases
from coaxwright.topology.wiring import build_topology

from .parts_for_pictures import camera, recorder, settled
from .test_seldom_pictures import based, sheet

EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").glob("*/*.site.yaml"))
BASES = list(load_bases())


def _cable(*carries: str) -> CablePart:
    return CablePart.model_validate({"kind": "cable", "source": "s", "carries": list(carries)})


FITS = {
    "video": {"coax", "pair", "network"}, "power": {"power"}, "sound": {"line", "coax", "pair", "network"},
    "control": {"pair", "network", "line"}, "network": {"network", "coax"},
}  # fmt: skip


@pytest.mark.parametrize("use", FITS)
def test_what_a_cable_is_made_for(use: str) -> None:
    """Common practice; a network goes over coax between converters."""
    media = ("coax", "pair", "network", "line", "power")
    assert {each for each in media if fits(_cable(each), use)} == FITS[use]
    assert fits(_cable("line", "power"), "power")


def test_a_cable_without_a_conductor_has_no_ohms() -> None:
    found = conductor_ohms(_cable("coax"))
    assert (found.ohm_per_m, found.alpha, found.source, found.missing) == (None, 0.0, "", ("conductor",))


def test_outcomes_from_best_to_worst() -> None:
    assert RANK == {"full": 4, "asked-down": 3, "reduced-width": 2, "needs-setting": 1, "no-picture": 0}


def test_a_ledger_counts_each_use() -> None:
    values = load_assumptions()
    ledger = Ledger(values)
    assert ledger.take("joint-loss") == values["joint-loss"].value
    ledger.take("joint-loss", 3)
    branch = ledger.branch()
    branch.take("joint-loss")
    assert (ledger.counts, branch.counts) == ({"joint-loss": 4}, {"joint-loss": 1})
    assert branch.values is ledger.values


def test_each_run_of_coax_counts_once() -> None:
    """The hybrid base has two cameras on coax, of one run each, no temperature and no joint."""
    counts = {used.assumption.name: used.count for used in based("hybrid", {}).assumed}
    assert counts["coax-loss-temperature-coefficient"] == 2
    over = [{"cable": "rg59-copper", "length": "10 m"}] * 3
    more = {used.assumption.name: used.count for used in based("hybrid", {"cameras": {"c2": {"video": {"over": over}}}}).assumed}
    assert more["coax-loss-temperature-coefficient"] == 4
    assert more["joint-loss"] == 2


@pytest.mark.parametrize(("first", "second"), [("20 °C", "35 °C"), ("35 °C", "20 °C")])
def test_the_warmest_run_of_a_feed_counts(first: str, second: str) -> None:
    """2 x 10 m x 13.3 ohm/km (IEC 60228:2004 table 3) at 20 °C, and 1 + 0.00393 x 15 times that at 35 °C (IEC 60028)."""
    over = [{"cable": "dc-1.5mm2", "length": "10 m", "temperature": each} for each in (first, second)]
    found = based("hybrid", {"cameras": {"c1": {"power": {"over": over}}}})
    feed = sheet(found, "cameras/c1", "feed")
    assert feed.temperature == 35.0
    assert feed.ohms == pytest.approx(0.266 + 0.266 * (1 + 0.00393 * 15))


def test_where_a_supply_stands() -> None:
    supply = sheet(based("hybrid", {}), "supplies/psu1", "supply")
    assert (supply.setting, supply.building) == ("indoor", "house")
    bare = sheet(based("hybrid", {"supplies": {"psu1": {"place": None}}}), "supplies/psu1", "supply")
    assert bare.missing("setting") == ("supplies/psu1/place/setting",)
    assert bare.missing("building") == ("supplies/psu1/place/building",)


def test_a_recorder_without_cameras_fills_no_disk() -> None:
    """Nothing is recorded, so nothing says how long the disks hold."""
    empty = dict.fromkeys(("c1", "c2", "n1", "n2"))
    found = based("hybrid", {"cameras": empty, "switches": {"sw1": None}})
    group = sheet(found, "recorders/rec1/disks", "disk_group")
    assert group.known("days") is None
    assert group.missing("days") == ("cameras",)


def test_cameras_behind_two_switches_are_told_one_by_one() -> None:
    extra: dict[str, Any] = {"part": "hollin/case-switch", "into": "sw1/3", "over": [{"cable": "cat5e", "length": "5 m"}]}
    found = based("hybrid", {"switches": {"sw2": extra}, "cameras": {"n2": {"network": {"into": "sw2/1"}}}})
    one, other = sheet(found, "switches/sw1", "switch"), sheet(found, "switches/sw2", "switch")
    assert (one.load, other.load) == (11e6, 6.5e6)
    assert found.working(one, "load")[0] == "4.5 (n1) + 6.5 (n2) = 11 Mb/s"
    assert found.working(other, "load")[0] == "6.5 (n2) = 6.5 Mb/s"


def _all_facts() -> list[tuple[str, Facts]]:
    loaded = [(name, case_site(load_bases(), Case(name="x", base=name))) for name in BASES]
    loaded += [(path.stem, read_site(path)) for path in EXAMPLES]
    return [(name, compute_facts(each, build_topology(each))) for name, each in loaded]


def test_every_working_is_lines_of_text() -> None:
    """A field with a way of being worked out tells it wherever it is known; one that is not known says what to supply."""
    explained = {key for table in _TABLES for key in table}
    empty, told = set(), 0
    for _, facts in _all_facts():
        for kind in SHEETS:
            for each in facts.by_kind(kind) if kind != "path" else ():
                for entry in dataclasses.fields(each):
                    lines = facts.working(each, entry.name)
                    assert isinstance(lines, tuple)
                    assert all(isinstance(line, str) and line and "None" not in line for line in lines), (kind, entry.name, lines)
                    if each.known(entry.name) is None:
                        assert lines == (f"not known; supply {', '.join(each.missing(entry.name))}",)
                    elif (kind, entry.name) in explained and not lines:
                        empty.add((kind, entry.name))
                    told += len(lines)
    # Air, volts of a supply and the end of a battery are told only where they were assumed, or where a cabinet warms the air.
    warmed = {("ups", "ambient_max"), ("exposure", "ambient_max"), ("supply", "air"), ("battery", "temperature_max")}
    volts = {("supply", "volts"), ("supply", "volts_float"), ("supply", "float_least"), ("battery", "volts_end")}
    assert empty <= volts | warmed | {(kind, f"ambient_{end}") for kind in ("camera", "recorder") for end in ("min", "max")}
    assert told > 5000


def test_the_setting_for_the_mode_sent_is_named() -> None:
    """Neither mode is taken as things are; the setting that takes the mode sent is named, wherever it stands."""
    cam = camera([{"family": "tvi", "mode": ["1280x720@25", "1920x1080@25"]}], heeds_asks=False)
    modes = (("1280x720@25", "small"), ("1920x1080@25", "wide"))
    rows = [{"family": "tvi", "mode": mode, "after": name} for mode, name in modes]
    other = {"family": "ahd", "mode": "1920x1080@25"}
    for order in (rows, rows[::-1]):
        got = settled(cam, recorder(other, *order), family="tvi", mode="1280x720@25")
        assert (got.outcome, got.setting_needed) == ("needs-setting", "small")


def test_playback_decodes_the_largest_channels_and_every_network_camera() -> None:
    """By hand: of 1920x1080x25, the same, x25 and x5, the two largest played back; both network cameras live."""
    found = based("hybrid", {"cameras": {"n2": {"record": {"rate": "5 fps"}}}, "recorders": {"rec1": {"playback": 3}}})
    device = sheet(found, "recorders/rec1", "recorder")
    frame = 1920 * 1080
    assert device.decode_needed == pytest.approx(3 * frame * 25 + frame * 25 + frame * 5)
    line = found.working(device, "decode_needed")[0]
    assert "(n2, played back)" not in line
    assert line.count("played back") == 3
    assert line.count("live") == 2


def test_boxes_on_a_serial_line_have_no_length() -> None:
    over = [{"cable": "cat5e", "length": "40 m"}, {"box": "join1"}, {"cable": "cat5e", "length": "2 m"}]
    site = {"boxes": {"join1": {"part": "hollin/join"}}, "cameras": {"c1": {"control": {"over": over}}}}
    found = based("hybrid", site, {"hollin/join": {"kind": "box", "source": "s", "does": "joint"}})
    (bus,) = found.by_kind("serial_bus")
    assert bus.metres == 42.0


def test_of_two_that_need_a_setting_the_better_is_named() -> None:
    """What is sent is never taken; after settings of the recorder two other modes are, and the larger one is advised."""
    modes = ["2560x1440@25", "1280x720@25", "1920x1080@25"]
    cam = camera([{"family": "tvi", "mode": modes}], heeds_asks=False)
    rows = [{"family": "tvi", "mode": mode, "after": name} for mode, name in (("1280x720@25", "small"), ("1920x1080@25", "wide"))]
    for order in (rows, rows[::-1]):
        got = settled(cam, recorder({"family": "ahd", "mode": "1920x1080@25"}, *order), family="tvi", mode=modes[0])
        assert (got.outcome, got.setting_needed) == ("needs-setting", "wide")


def test_every_way_of_being_worked_out_is_that_of_a_fact() -> None:
    fields = {(kind, entry.name) for kind, cls in SHEETS.items() for entry in dataclasses.fields(cls)}  # type: ignore[arg-type]
    beside = {(kind, name) for kind, names in STEPS.items() for name in names}
    keys = [key for table in _TABLES for key in table]
    assert set(keys) <= fields | beside
    assert len(keys) == len(set(keys))


def test_constant_of_copper() -> None:
    """100 % IACS is 58 MS/m (IEC 60028, standard of annealed copper)."""
    assert coax.COPPER_CONDUCTIVITY == 58.0e6


@pytest.mark.parametrize(("ohm", "carries", "wrong"), [(78.0, "coax", False), (71.0, "coax", True), (114.0, "pair", False),
                                                       (116.0, "pair", True), (84.0, "pair", True)])  # fmt: skip
def test_other_impedances_are_told_beyond_the_slack(ohm: float, carries: str, wrong: bool) -> None:
    """5 % of 75 ohm for coax, 15 % of 100 ohm for pairs: common practice and ISO/IEC 11801."""
    part = {"kind": "cable", "source": "s", "carries": [carries], "impedance": f"{ohm} ohm", "attenuation": [[5, 2.8]]}
    over = [{"cable": "hollin/other", "length": "10 m"}]
    if carries == "pair":
        over = [{"box": "b1"}, *over, {"box": "b2"}]
    boxes = {"b1": {"part": "generic/balun-passive"}, "b2": {"part": "generic/balun-passive"}} if carries == "pair" else {}
    found = based("hybrid", {"boxes": boxes, "cameras": {"c1": {"video": {"over": over}}}}, {"hollin/other": part})
    assert sheet(found, "cameras/c1", "link").impedance_wrong is wrong
