"""The browser of the pages, its watch and axe: the fixtures of the report's tests."""

from __future__ import annotations

import sys
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]
sys.path.append(str(TESTS / "report"))
sys.path.append(str(TESTS / "show"))

_spec = spec_from_file_location("fixtures_of_pages", TESTS / "report" / "conftest.py")
assert _spec is not None
assert _spec.loader is not None
_fixtures = module_from_spec(_spec)
_spec.loader.exec_module(_fixtures)
one_face, browser, axe, watched = _fixtures.one_face, _fixtures.browser, _fixtures.axe, _fixtures.watched
