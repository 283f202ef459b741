"""Every plain figure that the physics takes is looked at, and a complaint names the argument that is wrong."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Callable
from typing import Any

import pytest

from coaxwright.facts import physics

NAN = float("nan")
ONE = {"float": 1.0, "int": 1, "str": "1"}
# Figures for which ones make no sense together; arguments told under the name that the quantity has in the formula; and
# the few that are passed on without a look: those not a number come back as such, or as they went in.
GIVEN: dict[str, dict[str, Any]] = {
    "pd_volts_for_load": {"load_watts": 4.0, "pse_volts": 48.0, "channel_ohm": 10.0},
    "pse_watts_for_load": {"load_watts": 4.0, "pse_volts": 48.0, "channel_ohm": 10.0},
}
NAMED = {
    ("screen_height", "diagonal_inches"): "diagonal",
    ("pd_volts_for_load", "load_watts"): "watts", ("pd_volts_for_load", "pse_volts"): "source_volts",
    ("pd_volts_for_load", "channel_ohm"): "loop_ohm", ("pse_watts_for_load", "load_watts"): "watts",
    ("pse_watts_for_load", "pse_volts"): "source_volts", ("pse_watts_for_load", "channel_ohm"): "loop_ohm",
}  # fmt: skip
PASSED_ON = {
    ("peukert_hours", "exponent"), ("standby_hours", "exponent"), ("peukert_capacity", "exponent"), ("loop_resistance", "cores"),
    ("disk_bytes_per_year", "disks"),
}  # fmt: skip


def _functions() -> list[tuple[str, Callable[..., Any]]]:
    found = []
    for each in pkgutil.iter_modules(physics.__path__):
        module = importlib.import_module(f"coaxwright.facts.physics.{each.name}")
        for name, function in vars(module).items():
            own = inspect.isfunction(function) and function.__module__ == module.__name__
            if own and not name.startswith("_") and each.name != "checks":
                found.append((name, function))
    return found


def _plain(function: Callable[..., Any]) -> bool:
    """Whether all that it needs are plain figures."""
    return all(each.annotation in ("float", "int") for each in inspect.signature(function).parameters.values())


PLAIN = [(name, function) for name, function in _functions() if _plain(function)]
ARGUMENTS = [(name, function, argument) for name, function in PLAIN for argument in inspect.signature(function).parameters]


def test_most_of_the_physics_is_looked_at() -> None:
    assert len(PLAIN) >= 25  # what is declared in rules/facts is not among them
    assert len(ARGUMENTS) >= 60


def _ones(name: str, function: Callable[..., Any]) -> dict[str, Any]:
    parameters = inspect.signature(function).parameters
    ones = {each.name: ONE[each.annotation] for each in parameters.values() if each.default is each.empty}
    return {**ones, **GIVEN.get(name, {})}


@pytest.mark.parametrize(("name", "function"), PLAIN, ids=[name for name, _ in PLAIN])
def test_sensible_figures_are_taken(name: str, function: Callable[..., Any]) -> None:
    function(**_ones(name, function))


@pytest.mark.parametrize(("name", "function", "argument"), ARGUMENTS, ids=[f"{one}-{two}" for one, _, two in ARGUMENTS])
def test_a_figure_that_is_none_is_named(name: str, function: Callable[..., Any], argument: str) -> None:
    given = {**_ones(name, function), argument: NAN}
    if (name, argument) in PASSED_ON:
        assert isinstance(function(**given), float)
        return
    with pytest.raises(ValueError, match=rf"^{NAMED.get((name, argument), argument)}\b"):
        function(**given)
