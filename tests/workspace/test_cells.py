"""What is typed into a cell: what it means, what is refused and how that is told.

Quantities and their units are those of docs/writing-a-site.md.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from coaxwright.workspace import columns
from coaxwright.workspace.project import Workspace

Ask = Callable[..., dict[str, Any]]


@pytest.mark.parametrize(
    ("path", "typed", "in_file"),
    [
        ("/cameras/yard/video/over/0/length", "45", "length: 45 m"),
        ("/cameras/yard/video/over/0/length", "45m", "length: 45 m"),
        ("/cameras/yard/video/over/0/length", "230 ft", "length: 230 ft"),
        ("/cameras/yard/video/over/0/length", " 0.07 km ", "length: 0.07 km"),
        ("/cameras/gate/video/over/0/length", "45", "[{cable: rg59-copper, length: 45 m}]"),
        ("/cameras/gate/wants/rate", "10", "wants: {firmware: true, rate: 10 fps}"),
        ("/cameras/tasting/wants/rate", "10", "wants: {rate: 10 fps}"),
        ("/cameras/yard/video/into", "5", "video: {into: press/5,"),
        ("/supplies/box1/trim", "12.6", "trim: 12.6 V"),
        ("/recorders/press/record/codec", "H265", "codec: h265"),
        ("/retention", "20", "retention: 20 days"),
        ("/retention", "3 weeks", "retention: 3 weeks"),
        ("/video_rate", "30", "video_rate: 30"),
        ("/cameras/cellar/video/over/0/joints", "2", "joints: 2"),
        ("/recorders/press/disks/1", "generic/desktop-disk-4tb", "disks: [hollin/desk-2tb, generic/desktop-disk-4tb]"),
        ("/site", "It's: a #1 place", 'site: "It\'s: a #1 place"'),
    ],
)
def test_what_is_typed_stands_in_the_file(ask: Ask, work: Workspace, path: str, typed: str, in_file: str) -> None:
    before = work.site.text
    answer = ask("set", cells=[{"path": path, "text": typed}])
    assert answer["result"] == {"refused": []}
    assert in_file in work.site.text
    old, new = before.split("\n"), work.site.text.split("\n")
    assert len(set(new) - set(old)) == 1
    assert len(set(old) - set(new)) <= 1
    ask("undo")
    assert work.site.text == before


@pytest.mark.parametrize(
    ("path", "typed", "what", "right"),
    [
        ("/cameras/yard/video/over/0/length", "70 n", "`n` is not a unit of a length", "m, metres"),
        ("/cameras/yard/video/over/0/length", "0,7", "can be read in two ways", "write 0.7"),
        ("/cameras/yard/video/over/0/length", "ca. 40", "not one number with a unit", "85 m"),
        ("/cameras/yard/video/over/0/length", "-3", "", ""),
        ("/cameras/yard/part", "", "cannot be left out", "remove the row"),
        ("/cameras/yard/part", "tarnwell/turet-5", "there is no part", "tarnwell/turret-5"),
        ("/cameras/yard/part", "tarnwell/middle-8", "is a recorder", "camera"),
        ("/cameras/yard/place/setting", "roof", "none of the choices", "indoor, sheltered, outdoor"),
        ("/recorders/press/network_cameras", "some", "not a count", "whole number"),
        ("/cameras/yard/label", "x", "no cell of a sheet", "as text"),
        ("/nowhere", "x", "no cell of a sheet", "as text"),
        ("cameras", "x", "JSON pointer", ""),
        ("/cameras/yard/video/over/7/length", "3", "", ""),
        ("/cameras/ghost/video/over/0/length", "3 m", "comes first", "fill in the input"),
    ],
)
def test_what_means_nothing_is_refused_and_changes_nothing(
    ask: Ask, work: Workspace, path: str, typed: str, what: str, right: str
) -> None:
    before = work.site.text
    (refused,) = ask("set", cells=[{"path": path, "text": typed}])["result"]["refused"]
    assert what in refused["what"]
    assert right in refused["right"]
    assert refused["path"] == path
    assert (work.site.text, work.site.version) == (before, 0)


def test_an_emptied_cell_takes_its_value_away_and_what_it_leaves_empty(ask: Ask, work: Workspace) -> None:
    for path, gone in (
        ("/cameras/cellar/wants/rate", "wants: {rate: 15 fps}"),
        ("/cameras/gate/power/from", "power: {from: box1/2, over: [{cable: dc-1.5mm2}]}"),
        ("/cameras/press-floor/video/over/0/length", ", length: 35 m}]}\n    power"),
        ("/recorders/press/disks/1", ", hollin/desk-2tb]"),
    ):
        assert gone in work.site.text
        assert ask("set", cells=[{"path": path, "text": ""}])["result"] == {"refused": []}
        assert gone not in work.site.text


def test_a_block_is_one_step_and_tells_what_it_refuses(ask: Ask, work: Workspace) -> None:
    before = work.site.text
    block = [
        {"path": "/cameras/dock/part", "text": "tarnwell/turret-5"},
        {"path": "/cameras/dock/video/into", "text": "5"},
        {"path": "/cameras/dock/video/over/0/cable", "text": "rg59-copper"},
        {"path": "/cameras/dock/video/over/0/length", "text": "ca. 40"},
        {"path": "/cameras/yard/power/over/0/cable", "text": "no-such-cable"},
        {"path": "/cameras/yard/power/over/0/length", "text": "31"},
    ]
    answer = ask("set", cells=block, name="6 cells pasted")
    assert [each["path"] for each in answer["result"]["refused"]] == [block[3]["path"], block[4]["path"]]
    assert "dock: {part: tarnwell/turret-5" in work.site.text.replace("\n    ", " ").replace("dock: part", "dock: {part")
    assert "length: 31 m" in work.site.text
    assert (answer["undo"], answer["unsaved"]) == ("6 cells pasted", 1)
    ask("undo")
    assert work.site.text == before


def test_a_way_of_several_pieces_is_locked_in_the_cameras_sheet(ask: Ask, work: Workspace) -> None:
    two = "[{cable: rg59-copper, length: 30 m}, {cable: rg6-copper, length: 5 m}]"
    ask("text", text=work.site.text.replace("[{cable: rg59-copper, length: 35 m}]", two))
    row = next(each for each in work.rows("cameras") if each.name == "press-floor")
    cable, length = row.cells[2], row.cells[3]
    assert (cable.text, length.text) == ("2 pieces", "35 m in all")
    assert "Cables" in cable.locked
    assert [each.name for each in work.rows("cables") if each.subject == "cameras/press-floor"] == [
        "press-floor video 1", "press-floor video 2", "press-floor power",
    ]  # fmt: skip


def test_every_column_leads_somewhere(work: Workspace) -> None:
    """Each cell of each sheet can be read back by its pointer: the two ways of naming one agree."""
    from coaxwright.workspace.cells import column_at

    for sheet in columns.ALL:
        for row in work.rows(sheet):
            for cell in row.cells:
                found = column_at(cell.path)
                assert (found.holds, found.at[-1:]) == (cell.column.holds, cell.column.at[-1:])


def test_names_and_figures_are_offered(ask: Ask) -> None:
    found = ask("complete", path="/cameras/yard/power/over/0/cable", text="dc-1.5")["result"]
    assert found["options"][0] == {"value": "dc-1.5mm2", "figures": "1.5 mm2, 13.3 ohm/km, copper, indoor"}
    ports = ask("complete", path="/cameras/yard/video/into", text="")["result"]["options"]
    assert {"value": "press/5", "figures": "free"} in ports
    assert {"value": "press/4", "figures": "taken by tasting"} in ports
    near = ask("complete", path="/cameras/yard/part", text="fennik")["result"]
    assert near["options"][0]["value"].startswith("fennick/")
    assert ask("complete", path="/cameras/yard/part", text="zzzzzzzz")["result"] == {"count": 0, "options": []}


def test_renaming_reaches_every_place_that_means_it(ask: Ask, work: Workspace) -> None:
    ask("rename", group="recorders", name="press", to="mill")
    ask("rename", group="cameras", name="cellar", to="vault")
    ask("rename", group="supplies", name="box1", to="box9")
    assert "into: mill/audio2" in work.site.text
    assert "press/" not in work.site.text
    assert "building: press-house" in work.site.text
    assert "on: cameras/vault" in work.site.text
    assert "from: box9/4" in work.site.text
    assert work.site.problems == ()
    for to in ("a b", "", "tasting", "../x"):
        assert not ask("rename", group="cameras", name="yard", to=to)["ok"]


def test_adding_takes_the_next_free_ports(ask: Ask, work: Workspace) -> None:
    name = ask("add", group="cameras")["result"]["name"]
    entry = work.site.document.value["cameras"][name]
    assert entry == {"part": "tarnwell/turret-5", "video": {"into": "press/5", "over": [{"cable": "rg59-copper"}]}}
    ask("add", group="supplies")
    ask("add", group="disks", recorder="press")
    assert len(work.site.document.value["recorders"]["press"]["disks"]) == 3
    ask("remove", path=f"/cameras/{name}")
    assert name not in work.site.document.value["cameras"]
    assert not ask("remove", path="/parts")["ok"]


def test_what_a_building_says_for_all_in_it_is_a_cell(ask: Ask, work: Workspace) -> None:
    """Buildings that an entry stands in have rows before they say anything; emptied, the group goes again."""
    names = [row.name for row in work.rows("site")]
    assert "building press-house: warmest air" in names
    path = "/defaults/buildings/press-house/place/ambient_max"
    assert ask("set", cells=[{"path": path, "text": "34"}])["result"] == {"refused": []}
    assert work.site.document.value["defaults"]["buildings"] == {"press-house": {"place": {"ambient_max": "34 °C"}}}
    assert work.site.problems == ()
    assert ask("set", cells=[{"path": path, "text": ""}])["result"] == {"refused": []}
    assert "defaults" not in work.site.document.value
    refused = ask("set", cells=[{"path": "/defaults/areas/yard/cable/video", "text": "no-such"}])["result"]["refused"]
    assert len(refused) == 1
