"""Sites with prices; modules of the rooms whose checks of pages are used here too."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parents[1]
sys.path.append(str(TESTS / "report"))
sys.path.append(str(TESTS / "show"))

PRICES = """\
currency: EUR
valid_until: 2027-01-31
waste: 10 %
discount: 10 %
tax: 20 %
labour: {hour: 60, camera: 1.5 h, recorder: 3 h, supply: 1 h, per_100_m: 4 h, fixed: 4 h}
prices:
  rg59-copper: {price: 0.40, drum: 100 m}
  dc-1.5mm2: 0.9
  tarnwell/disk-8tb: {price: 180, discount: 0 %}
  no/such: 5
"""


@pytest.fixture
def priced_yard(tmp_path: Path) -> Path:
    """The boatyard with a price file that leaves two cables without a price."""
    folder = tmp_path / "boatyard"
    shutil.copytree(TESTS.parent / "examples" / "boatyard", folder)
    (folder / "prices.yaml").write_text(PRICES, encoding="utf-8")
    site = folder / "alder-wharf.site.yaml"
    text = site.read_text(encoding="utf-8")
    site.write_text(text.replace("parts: [parts/*.yaml]", "parts: [parts/*.yaml]\nprices: [prices.yaml]"), encoding="utf-8")
    return site
