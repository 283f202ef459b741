"""What the tests of fixes share: the rules, a catalogue, and the day on which all is checked."""

from __future__ import annotations

import datetime

import pytest

from coaxwright.rulebook.loading import load_rulebook

from . import random_sites


@pytest.fixture(scope="session")
def rulebook():
    return load_rulebook()


@pytest.fixture(scope="session")
def parts():
    return random_sites.catalogue()


@pytest.fixture(scope="session")
def day():
    return datetime.date(2026, 5, 4)
