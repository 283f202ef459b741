"""Conductors colder than the linear law of resistance bears are refused; every colder site that it bears is judged."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from coaxwright.model.site import Assumptions, Hop
from coaxwright.reading.tables import load_table


def test_the_law_leaves_resistance_at_the_least_temperature() -> None:
    """1 + a (t - 20): IEC 60028 for copper, handbook coefficients for the others."""
    for row in load_table("conductor-materials").rows:
        assert 1 + row["temperature_coefficient"] * (-200 - 20) > 0


@pytest.mark.parametrize(("written", "taken"), [("-200 °C", True), ("-201 °C", False), ("-265 °C", False), ("-40 °C", True)])
def test_no_run_is_colder(written: str, taken: bool) -> None:
    for model, values in ((Hop, {"cable": "c", "temperature": written}), (Assumptions, {"conductor_temperature": written})):
        if taken:
            model.model_validate(values)
            continue
        with pytest.raises(ValidationError, match="-200"):
            model.model_validate(values)
