"""The bank of sites and faults, read once."""

from __future__ import annotations

import os

import pytest

from coaxwright.checking import load_rulebook
from coaxwright.quiz.bank import Bank, load_bank

FULL = bool(os.environ.get("COAXWRIGHT_FULL"))


@pytest.fixture(scope="session")
def bank() -> Bank:
    return load_bank(load_rulebook())
