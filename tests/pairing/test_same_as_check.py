"""A pair's answer against a full check of the same one-camera site, written out and read from files.

The site is written here, by hand of the test; the answer comes through the command's own path; cells of tables come
from the fast path. All three have to say the same.
"""

from __future__ import annotations

import json
import os
import random
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
import yaml

from coaxwright.checking import check, load_rulebook
from coaxwright.pairing.answers import answer
from coaxwright.pairing.cells import FEATURES, Cell, Clerk
from coaxwright.pairing.small_sites import Question
from coaxwright.pairing.tables import tabulate
from coaxwright.pairing.telling import as_data
from coaxwright.reading.catalogue import Catalogue, build_catalogue

FULL = bool(os.environ.get("COAXWRIGHT_FULL"))
PAIRS = 3000 if FULL else 120


@pytest.fixture(scope="module")
def big(ranges: ModuleType, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Catalogue]:
    folder = tmp_path_factory.mktemp("pairs")
    path = folder / "catalogue.yaml"
    path.write_text(ranges.catalogue(300, 120, seed=11), encoding="utf-8")
    return folder, build_catalogue([(path, path.name)])


def drawn(rng: random.Random, catalogue: Catalogue) -> tuple[str, str]:
    """A camera and a recorder, of one maker more often than chance would have it."""
    recorder = rng.choice(catalogue.ids("recorder"))
    maker = recorder.partition("/")[0]
    cameras = [name for name in catalogue.ids("camera") if name.startswith(f"{maker}/") or rng.random() < 0.1]
    return rng.choice(cameras), recorder


def questions(rng: random.Random, catalogue: Catalogue, camera: str, recorder: str) -> dict[str, Any]:
    """How a camera may be switched, which input, which country."""
    asked: dict[str, Any] = {"video_rate": rng.choice([25, 30])}
    if rng.random() < 0.5:
        row = rng.choice(catalogue.part(camera).emits)
        modes = row.mode if not hasattr(row.mode, "width") else (row.mode,)
        families = row.family if isinstance(row.family, tuple) else (row.family,)
        asked |= {"family": rng.choice(families), "mode": str(rng.choice(modes))}
    inputs = catalogue.part(recorder).inputs[0].channels
    asked["number"] = rng.choice(inputs)
    return asked


def written(folder: Path, camera: str, recorder: str, asked: dict[str, Any]) -> Path:
    """The smallest site, as a person would write it."""
    entry: dict[str, Any] = {"part": camera, "video": {"into": f"box/{asked['number']}", "over": []}}
    entry |= {"sound": {"by": "coax"}, "control": {"by": "coax"}, "wants": {"firmware": True, "sorted_motion": True}}
    if "mode" in asked:
        entry["set"] = {"family": asked["family"], "mode": asked["mode"]}
    site = {
        "site": "one camera",
        "video_rate": asked["video_rate"],
        "parts": ["catalogue.yaml"],
        "recorders": {"box": {"part": recorder}},
        "cameras": {"eye": entry},
    }
    path = folder / "one.site.yaml"
    path.write_text(yaml.safe_dump(site, sort_keys=False), encoding="utf-8")
    return path


def test_random_pairs(big: tuple[Path, Catalogue]) -> None:
    folder, catalogue = big
    clerk, rules, rng = Clerk(catalogue), load_rulebook(), random.Random(29)
    outcomes: set[str | None] = set()
    answers: set[tuple[str, str]] = set()
    for _ in range(PAIRS):
        camera, recorder = drawn(rng, catalogue)
        asked = questions(rng, catalogue, camera, recorder)
        question = Question(**asked)
        facts = check(written(folder, camera, recorder, asked), rulebook=rules).facts["cameras/eye"]
        told = as_data(answer(clerk, camera, recorder, question, rules))
        where = f"{camera} on {recorder}, {asked}"
        assert told["settled"] == facts["settled"], where
        assert told["because"] == facts.get("because"), where
        for name in FEATURES:
            works = facts.get(f"{name}_works")
            assert told[name]["answer"] == {True: "yes", False: "no", None: "open"}[works], (where, name)
            answers.add((name, told[name]["answer"]))
        assert clerk.cell(camera, recorder, question) == cell_of(facts), where
        outcomes.add(facts["settled"]["outcome"])
    assert outcomes >= {"full", "asked-down", "reduced-width", "needs-setting", "no-picture", None}
    assert answers >= {(name, word) for name in ("sound", "control", "firmware") for word in ("yes", "no", "open")}


def cell_of(facts: Any) -> Cell:
    """The cell that the facts of a check make."""
    settled = facts["settled"]
    return Cell(
        settled["outcome"], settled["family"], settled["width"], settled["height"], settled["acquired_fps"],
        settled["recorded_fps"], facts.get("recorded_width"), facts.get("recorded_height"),
        *(facts.get(f"{name}_works") for name in FEATURES),
    )  # fmt: skip


@pytest.mark.parametrize(
    "question",
    [Question(), Question(video_rate=30), Question(number=3), Question(family="cvbs", mode="960x576@25")],
)
def test_tables_hold_the_cells_of_single_questions(big: tuple[Path, Catalogue], question: Question) -> None:
    """Grouping gives every pair the answer that it would have got alone."""
    _, catalogue = big
    rng = random.Random(5)
    cameras, recorders = rng.sample(catalogue.ids("camera"), 60), rng.sample(catalogue.ids("recorder"), 30)
    table = tabulate(Clerk(catalogue), cameras, recorders, question)
    alone = Clerk(catalogue)
    assert len(table.cells) == len(set(table.cells)) > 5
    for place, camera in enumerate(cameras):
        for other, recorder in enumerate(recorders):
            assert table.cell(place, other) == alone.cell(camera, recorder, question), (camera, recorder)


def test_all_channels_in_use(big: tuple[Path, Catalogue]) -> None:
    """Recorded rates with a camera on every input, against a site that has them all."""
    folder, catalogue = big
    clerk, rules, rng = Clerk(catalogue), load_rulebook(), random.Random(3)
    slower = 0
    for _ in range(120 if FULL else 30):
        camera, recorder = drawn(rng, catalogue)
        if not clerk.cell(camera, recorder, Question()).width:
            continue
        numbers = catalogue.part(recorder).inputs[0].channels
        entries = {f"eye{number}": {"part": camera, "video": {"into": f"box/{number}"}} for number in numbers}
        site = {
            "site": "full",
            "parts": ["catalogue.yaml"],
            "recorders": {"box": {"part": recorder}},
            "cameras": entries,
        }
        (folder / "full.site.yaml").write_text(json.dumps(site), encoding="utf-8")
        told = answer(clerk, camera, recorder, Question(), rules)
        facts = check(folder / "full.site.yaml", rulebook=rules).facts[f"cameras/eye{told.number}"]
        assert told.full.channels == len(numbers)
        assert told.full.recorded_fps == facts["settled"]["recorded_fps"]
        alone = told.alone.recorded_fps
        slower += alone is not None and told.full.recorded_fps is not None and told.full.recorded_fps < alone
    assert slower
