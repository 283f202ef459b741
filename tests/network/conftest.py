"""The hybrid base of the rule cases, with changes, as a site that was read."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from coaxwright.facts.binding import Facts, compute_facts
from coaxwright.model.rules import Case
from coaxwright.rulebook.cases import case_site, load_bases
from coaxwright.topology.wiring import build_topology


@pytest.fixture(scope="session")
def bases() -> dict[str, Any]:
    return load_bases()


@pytest.fixture
def hybrid(bases: dict[str, Any]) -> Callable[..., Any]:
    """`hybrid(site=..., parts=...)`: the base with these changes laid over it; `base` names another one."""
    return lambda base="hybrid", **changes: case_site(bases, Case(name="test", base=base, **changes))


@pytest.fixture
def facts(hybrid: Callable[..., Any]) -> Callable[..., Facts]:
    """All facts of the base with changes."""

    def compute(base: str = "hybrid", **changes: Any) -> Facts:
        loaded = hybrid(base, **changes)
        return compute_facts(loaded, build_topology(loaded))

    return compute
