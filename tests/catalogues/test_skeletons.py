"""Skeletons hold every field of their kind, and read as parts: as they stand, and with every comment taken away."""

from __future__ import annotations

import re
import types
import typing
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel

from coaxwright.catalogues.skeletons import datasheet_place, printed, skeleton
from coaxwright.cli.main import run
from coaxwright.model.parts import PART_KINDS
from coaxwright.model.quantities import KINDS
from coaxwright.reading.table_files import build_parts
from coaxwright.reading.tables import load_table


def used(text: str) -> str:
    """The skeleton with every field used."""
    return "\n".join(re.sub(r"^( *)# ", r"\1", line) for line in text.splitlines()) + "\n"


@pytest.mark.parametrize("kind", PART_KINDS)
def test_reads_as_a_part(kind: str) -> None:
    text = skeleton(kind, "maker/name")
    assert build_parts(text, kind)["maker/name"].kind == kind
    whole = build_parts(used(text), kind)["maker/name"]
    given = whole.model_fields_set
    assert given == set(PART_KINDS[kind].model_fields)  # type: ignore[attr-defined]


def names_of(annotation: Any) -> set[str]:
    """Names of all fields of all models within an annotation."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        inner = [names_of(each.annotation) for each in annotation.model_fields.values()]
        return set(annotation.model_fields).union(*inner)
    if isinstance(annotation, types.GenericAlias) or typing.get_args(annotation):
        return set().union(*(names_of(each) for each in typing.get_args(annotation)))
    return set()


@pytest.mark.parametrize("kind", PART_KINDS)
def test_every_field_has_its_place_in_a_datasheet(kind: str) -> None:
    lines = skeleton(kind, "maker/name").splitlines()
    wanted = names_of(PART_KINDS[kind])
    assert len(wanted) > 5
    explained = {}
    for above, line in pairwise(lines):
        match = re.match(r" *(?:# )?(?:- )?([a-z_0-9]+):", line)
        if match and "##" in above:
            explained[match[1]] = above
    assert wanted - {"kind"} <= set(explained)
    assert all("datasheet: " in explained[name] for name in wanted - {"kind"})


def test_units_are_those_that_are_read() -> None:
    line = next(line for line in skeleton("disk", "maker/d").splitlines() if "## capacity" in line)
    assert f"units: {', '.join(KINDS['bytes'].spellings)}" in line


def test_places_are_found_from_the_narrowest() -> None:
    assert datasheet_place("power/volts_min") == load_table("datasheet-places").row("volts_min")["place"]
    assert datasheet_place("power/never-heard-of") == load_table("datasheet-places").row("power")["place"]
    assert datasheet_place("never-heard-of") == "specification table"


@pytest.mark.parametrize("kind", PART_KINDS)
def test_what_datasheets_print_comes_first_and_what_they_rarely_print_says_what_it_leaves_open(kind: str) -> None:
    lines = skeleton(kind, "maker/name").splitlines()
    fields = [match[1] for line in lines if (match := re.match(r" {4}(?:# )?([a-z_0-9]+):", line))][1:]
    must = [name for name, field in PART_KINDS[kind].model_fields.items() if field.is_required() or name == "emits"]
    order = ["first", "some", "rare", "elsewhere"]
    ranks = [order.index(printed(name)) for name in fields if name not in must]
    assert len(ranks) > 10
    assert ranks == sorted(ranks)
    for above, line in pairwise(lines):
        match = re.match(r" *(?:# )?(?:- )?([a-z_0-9]+):", line)
        if match and "##" in above:
            assert ("rarely printed; without it stays open: " in above) == (printed(match[1]) == "rare")


def test_a_camera_is_asked_for_some_fifteen_things_first() -> None:
    text = skeleton("camera", "maker/name").split("## ---- What some")[0]
    assert text.index("# title:") < text.index("# power:") < text.index("# housing:")
    names = re.findall(r"^ *# (?:- )?([a-z_]+):", text, re.MULTILINE)
    asked = [name for name in names if printed(name) == "first" and name not in ("power", "sound", "control", "optics", "night")]
    assert 12 <= len(set(asked)) <= 24


def test_every_row_of_the_order_is_a_field_of_some_part() -> None:
    known = set[str]().union(*(names_of(model) for model in PART_KINDS.values()))
    assert {row["field"] for row in load_table("datasheet-order").rows} <= known


def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "new.yaml"
    assert run(["parts", "new", "camera", "--id", "fennick/dome-9", "--output", str(file)]) == 0
    assert run(["parts", "show", "fennick/dome-9", "--parts", str(file)]) == 0
    assert run(["parts", "new", "camera", "--output", str(file)]) == 2
    assert run(["parts", "new", "camra"]) == 2
    assert "camera" in capsys.readouterr().err
