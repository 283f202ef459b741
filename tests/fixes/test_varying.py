"""`what-if --vary`: each row says what a check of the edited file says."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from coaxwright.checking import check, load_site
from coaxwright.cli.main import run
from coaxwright.reading.site_reader import with_value

SITE = Path(__file__).parents[2] / "examples/boatyard/alder-wharf.site.yaml"
RUN = "cameras/slipway/power/over/0"


def test_every_pair_is_what_a_check_says(capsys: pytest.CaptureFixture[str]) -> None:
    cables, lengths = ["dc-0.75mm2", "dc-1.5mm2"], ["80 m", "150 m"]
    asked = [f"{RUN}/cable={','.join(cables)}", f"{RUN}/length={','.join(lengths)}"]
    status = run(["what-if", str(SITE), "--vary", asked[0], "--vary", asked[1], "--format", "json"])
    told = json.loads(capsys.readouterr().out)
    assert (status, told["format"], told["paths"]) == (0, 2, [f"{RUN}/cable", f"{RUN}/length"])
    assert [row["values"] for row in told["rows"]] == [[cable, length] for cable in cables for length in lengths]
    site = load_site(SITE)
    for row in told["rows"]:
        value = json.loads(json.dumps(site.document.value, default=str))
        value["cameras"]["slipway"]["power"]["over"][0].update(cable=row["values"][0], length=row["values"][1])
        summary = check(with_value(site, value)).summary
        assert (row["error"], row["warning"], row["open"]) == (summary.error, summary.warning, summary.open)
        assert row["holds"] == (summary.error == 0)


def test_a_value_that_makes_no_site_is_told_in_its_row(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["what-if", str(SITE), "--vary", f"{RUN}/length=long"]) == 1
    assert "cannot be checked" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("retention", "lists no values"),
        ("retention=", "lists no values"),
        (f"retention={','.join(['1 days'] * 401)}", "401 combinations are too many"),
    ],
)
def test_what_lists_nothing_or_too_much_is_refused(asked: str, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["what-if", str(SITE), "--vary", asked]) == 2
    assert said in capsys.readouterr().err
