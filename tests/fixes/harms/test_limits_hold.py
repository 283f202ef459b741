"""What `limits` says of random faulty sites with gaps, held against full checks of the file with each value written.

Black box: the command's JSON on one side, `check --format json` of edited files on the other.
"""

from __future__ import annotations

import os
from copy import deepcopy
from random import Random

import pytest

from .invented_sites import made
from .program import Refused, checked, rules_read_once, told, written

FULL = bool(os.environ.get("COAXWRIGHT_FULL"))
SITES = 150 if FULL else 4
SPELLED = {"d": "days", "degC": "°C"}


def edited(site, path, value, unit):
    """The site with another value at a path; counts carry no unit."""
    found = deepcopy(site)
    around = found
    *above, last = path.split("/")
    for step in above:
        around = around[int(step)] if isinstance(around, list) else around[step]
    around[int(last) if isinstance(around, list) else last] = (
        f"{value:.10g} {SPELLED.get(unit, unit)}" if unit else value
    )
    return found


def errors(seen):
    """Fails and open judgements at level error, as the command names them."""
    fails = {" on ".join(key) for key, (level, _) in seen.fails.items() if level == "error"}
    return fails, {" on ".join(key) for key, level in seen.opens.items() if level == "error"}


class Numbers:
    """The numbers of one subject of a site, against the file."""

    def __init__(self, folder, site):
        self.folder, self.site = folder, site
        self.now = errors(checked(written(folder, site)))
        self.judged = 0

    def at(self, number, value):
        return errors(checked(written(self.folder, edited(self.site, number["path"], value, number["unit"]))))

    def hold(self, number):
        fails, opens = self.now
        assert set(number["fails_now"]) <= fails
        assert set(number["open_now"]) <= opens
        assert not {each.partition(",")[0] for each in number["silent_now"]} & (fails | opens)
        assert {each.rpartition(" while ")[2].split()[0] for each in number["silent_now"]} <= {each.split()[0] for each in fails}
        unsure = number["open_now"] or number["silent_now"]
        assert number["now"] == ("fails" if number["fails_now"] else "open" if unsure else "holds")
        for side in ("down", "up"):
            if number["path"].endswith("/part"):
                continue
            self._end(number, number[side])

    def _end(self, number, end):
        if end["holds"] is None:
            assert number["fails_now"]
            return
        fails, opens = self.now
        there, open_there = self.at(number, end["holds"])
        assert there <= fails - set(number["fails_now"]), (number["name"], end)
        assert open_there <= opens, (number["name"], end)
        self.judged += 1
        if end["fails"] is None:
            return
        beyond, open_beyond = self.at(number, end["fails"])
        worse = {*(beyond - fails), *(open_beyond - opens)}
        if number["fails_now"]:
            assert worse or beyond & set(number["fails_now"]), (number["name"], end)
        else:
            assert {*end["rules"], *end["opens"]} >= worse
            assert {*end["rules"], *end["opens"]} <= beyond | open_beyond
            assert end["rules"] or end["opens"]


@pytest.mark.parametrize("block", range(3))
def test_limits_are_what_a_full_check_of_the_file_says(block, tmp_path):
    judged = 0
    with rules_read_once():
        for number in range(block, SITES, 3):
            one = made(17, number)
            draw = Random(number)
            file = written(tmp_path, one.site, one.parts)
            try:
                numbers = Numbers(tmp_path, one.site)
            except Refused:
                continue
            names = [
                f"{group}/{name}" for group in ("cameras", "junctions", "supplies") for name in one.site.get(group, {})
            ]
            for subject in draw.sample(names, 1):
                written(tmp_path, one.site)
                for each in told("limits", str(file), subject)["limits"]:
                    numbers.hold(each)
            judged += numbers.judged
    assert judged > 0
