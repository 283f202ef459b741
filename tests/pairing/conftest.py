"""Catalogues for pairs: the boatyard's, and random ones of the benchmark's invented ranges."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

from coaxwright.pairing.cells import Clerk
from coaxwright.reading.catalogue import Catalogue, build_catalogue

ROOT = Path(__file__).resolve().parents[2]
BOATYARD = ROOT / "examples" / "boatyard" / "parts"


@pytest.fixture(scope="session")
def ranges() -> ModuleType:
    """The generator of catalogues."""
    spec = importlib.util.spec_from_file_location("big_catalogue", ROOT / "tests" / "bench" / "big_catalogue.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def boatyard() -> Catalogue:
    return build_catalogue((path, path.name) for path in sorted(BOATYARD.glob("*.yaml")))


@pytest.fixture(scope="session")
def clerk(boatyard: Catalogue) -> Clerk:
    return Clerk(boatyard)
