"""Tables of parts of which no two are alike: each cell is what the pair comes to when it is asked alone.

The table settles one pair for many (`pairing.shortcuts`); the single question settles each by itself, which is the check.
"""

from __future__ import annotations

import importlib.util
import random
import re
from pathlib import Path

import pytest

from coaxwright.pairing.cells import Clerk
from coaxwright.pairing.small_sites import Question
from coaxwright.pairing.tables import tabulate
from coaxwright.reading.catalogue import Catalogue, build_catalogue

ROOT = Path(__file__).resolve().parents[2]
CAMERAS, RECORDERS = 90, 16
VARIED = (
    ("    switched_by: [menu-button]\n", ("    switched_by: []\n", "", "    switched_by: [menu-button]\n")),
    ("    heeds_asks: true\n", ("    heeds_asks: false\n", "", "    heeds_asks: true\n", "    heeds_asks: true\n")),
    (", width: reduced}", (", width: reduced}", ", maker: own}", ", after: wide, width: reduced}", ", after: wide}")),
)


@pytest.fixture(scope="module")
def catalogue(tmp_path_factory: pytest.TempPathFactory) -> Catalogue:
    """Parts that differ, some that cannot be switched, do not say whether they heed asks, or wait for a setting."""
    spec = importlib.util.spec_from_file_location("table_speed", ROOT / "tests" / "bench" / "table_speed.py")
    assert spec is not None
    assert spec.loader is not None
    ranges = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(ranges)
    rng = random.Random(4)
    text = ranges.catalogue(CAMERAS, RECORDERS, seed=3)
    for old, choices in VARIED:
        text = re.sub(re.escape(old), lambda _, some=choices: rng.choice(some), text)
    text = re.sub(r"    starts_as: .*\n", lambda found: found[0] if rng.random() < 0.8 else "", text)
    path = tmp_path_factory.mktemp("differ") / "parts.yaml"
    path.write_text(text, encoding="utf-8")
    return build_catalogue([(path, "parts.yaml")])


QUESTIONS = (
    Question(), Question(video_rate=30), Question(number=2), Question(family="tvi"), Question(family="ahd", mode="1920x1080@25"),
    Question(mode="2560x1440@15"), Question(channels=3),
)  # fmt: skip


@pytest.mark.parametrize("question", QUESTIONS, ids=str)
def test_each_cell_is_what_the_pair_comes_to_alone(question: Question, catalogue: Catalogue) -> None:
    cameras, recorders = list(catalogue.ids("camera")), list(catalogue.ids("recorder"))
    table = tabulate(Clerk(catalogue), cameras, recorders, question)
    clerk = Clerk(catalogue)
    seen = set()
    for place, camera in enumerate(cameras):
        for column, recorder in enumerate(recorders):
            alone = clerk.cell(camera, recorder, question)
            assert table.cell(place, column) == alone, (camera, recorder)
            seen.add(alone.outcome)
    assert len(seen) >= 4, seen
