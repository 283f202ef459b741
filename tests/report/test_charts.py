"""Pictures of numbers: scales and curves against published figures and against the facts themselves."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.findings import Report
from coaxwright.reporting.page.charts.density import View, density_picture
from coaxwright.reporting.page.charts.disks import Disks, disks_picture
from coaxwright.reporting.page.charts.encode import Channel, Encoder, encode_picture
from coaxwright.reporting.page.charts.frame import Scale, frame
from coaxwright.reporting.page.charts.volts import Stop, Way, volts_picture
from coaxwright.reporting.page.pictures import disks_of, encoder_of, views_of, ways_of
from coaxwright.reporting.page.survey import Survey

Reports = Callable[[str | int], Report]
# IEC 62676-4:2014 clause 6.7 (from memory): densities in px/m.
CLASSES = (("monitor", 12.5), ("detect", 25.0), ("observe", 62.5), ("recognise", 125.0), ("identify", 250.0))


def _survey(report: Report) -> Survey:
    return Survey(report.sites[0], report.rules)


@given(st.floats(0.1, 1e6), st.floats(1.05, 1e4), st.booleans())
def test_ticks_lie_within_and_are_few(low: float, ratio: float, ratios: bool) -> None:
    scale = Scale(low, low * ratio, 0.0, 100.0, ratios)
    ticks = scale.ticks()
    assert all(low * 0.998 <= tick <= low * ratio * 1.002 for tick in ticks)
    assert len(ticks) <= 12
    assert ticks == sorted(ticks)


def test_scales() -> None:
    even, ratios = Scale(0.0, 10.0, 100.0, 200.0), Scale(1.0, 100.0, 0.0, 80.0, ratios=True)
    assert even.at(5.0) == 150.0
    assert even.at(-3.0) == 100.0
    assert even.at(99.0) == 200.0
    assert ratios.at(10.0) == pytest.approx(40.0)
    assert even.ticks(5) == [0.0, 2.0, 4.0, 6.0, 8.0, 10.0]


def test_density_of_a_published_example() -> None:
    """IEC 62676-4:2014 (from memory): identify at 250 px/m is 4 mm a pixel; a 1920-column picture holds it over a scene
    1920 / 250 = 7.68 m wide, which a lens of 90 degrees sees at 3.84 m (geometry: half the width over tan 45)."""
    view = View(("gate",), 1920, 1920, 2.0, 4.0, CLASSES, "identify", 3.84)
    assert view.angle == pytest.approx(90.0)
    assert view.density(3.84) == pytest.approx(250.0)
    assert view.reaches(250.0) == pytest.approx(3.84)
    picture = density_picture(view)
    assert "90° wide" in picture
    assert "The fan is drawn to 40 m." in picture
    assert "there are 250, enough" in picture


def test_reduced_width_halves_the_density() -> None:
    view = View(("gate",), 2592, 1296, 3.6, 5.37, CLASSES, "identify", 6.0)
    whole = View(("gate",), 2592, 2592, 3.6, 5.37, CLASSES, "identify", 6.0)
    assert view.density(6.0) == pytest.approx(whole.density(6.0) / 2)
    assert "of 2592 at full width" in density_picture(view)
    assert "too few" in density_picture(view)
    assert "enough" in density_picture(whole)


def test_disks() -> None:
    """Decimal terabytes; RAID 5 has the capacity of one disk less, and needs three (SNIA DDF)."""
    disks = Disks("rec", "10 TB", (None, None, 20.0, 30.0), 3, 25.0, 4)
    picture = disks_picture(disks)
    assert "Proposed: 3 disks, 20 days; 25 days are wanted, which takes 4 disks." in picture
    assert picture.count('class="column') == 2
    short = disks_picture(Disks("rec", "10 TB", (10.0,), 1, 25.0, 1))
    assert "more than these bays hold" in short


def test_disks_of_a_real_recorder(reports: Reports) -> None:
    """Separate disks: days are in proportion to their number; RAID 5: to one less (SNIA DDF)."""
    survey = _survey(reports("gannet-bay"))
    raid, separate = (disks_of(survey, group) for group in survey.sheets("disk_group"))
    assert raid is not None
    assert separate is not None
    assert raid.days[:2] == (None, None)
    assert raid.days[5] == pytest.approx(raid.days[2] * 5 / 2)
    assert separate.days[4] == pytest.approx(separate.days[0] * 5)
    facts = reports("gannet-bay").sites[0].facts
    assert separate.days[1] == pytest.approx(facts["recorders/harbour/disks"]["days"])


def test_encoder_of_a_real_recorder(reports: Reports) -> None:
    survey = _survey(reports("gannet-bay"))
    for recorder in survey.sheets("recorder"):
        encoder = encoder_of(survey, recorder)
        assert [each.number for each in encoder.channels] == list(range(1, 33))
        assert sum(each.given or 0 for each in encoder.channels) == pytest.approx(recorder.encode_used)
        assert all(each.given <= each.asked * (1 + 1e-9) for each in encoder.channels if each.asked and each.given)


def test_encoder_picture() -> None:
    channels = (Channel(1, "a", 60e6, 60e6), Channel(2, "b", 60e6, 30e6), Channel(3, "c", None, None))
    picture = encode_picture(Encoder("rec", channels, 90e6, 120e6))
    assert picture is not None
    assert "All get 90 Mpx/s of 90 Mpx/s, and 1 channel is cut." in picture
    assert encode_picture(Encoder("rec", channels[2:], 1.0, 1.0)) is None


def test_volts_of_a_real_trunk(reports: Reports) -> None:
    """Every stop stands where the facts say, and volts never rise away from the supply."""
    report = reports("gannet-bay")
    survey = _survey(report)
    supply = next(each for each in survey.sheets("supply") if each.name == "quay-psu")
    ways = ways_of(survey, supply)
    assert [way.title for way in ways] == [
        "Volts along the trunk on output 1 of quay-psu", "Volts along the trunk on output 2 of quay-psu"
    ]  # fmt: skip
    facts = report.sites[0].facts
    for way in ways:
        for stop in way.stops:
            group = "cameras" if stop.least is not None else "junctions"
            assert stop.night == facts[f"{group}/{stop.name}"]["volts_night"]
            before = way.stops[stop.before].night if stop.before >= 0 else way.volts
            assert stop.night is not None
            assert before is not None
            assert stop.night <= before + 1e-9
    assert "quay-cam-11" in volts_picture(ways[0])


def test_volts_picture_places_and_collapse() -> None:
    stops = (Stop("tap", 50.0, 11.5, 11.0, -1), Stop("gate", 60.0, 11.4, 0.0, 0, 10.8))
    picture = volts_picture(Way("Trunk", "psu", 12.0, stops))
    assert "collapses before gate" in picture
    assert 'class="spot collapsed"' in picture
    assert picture.count('class="curve day"') == 2
    drawn = frame((0.0, 60.0 * 1.04), (10.68, 12.12))
    day = re.search(r'class="curve day" d="M([\d.]+) [\d.]+L([\d.]+)', picture)
    assert day is not None
    assert float(day[1]) == pytest.approx(drawn.x.at(0.0), abs=0.01)
    assert float(day[2]) == pytest.approx(drawn.x.at(50.0), abs=0.01)


def test_views_group_what_sees_alike(reports: Reports) -> None:
    views = views_of(_survey(reports("gannet-bay")))
    shown = [name for view in views for name in view.cameras]
    assert len(shown) == len(set(shown)) == 64
    pack = next(view for view in views if view.cameras == ("pack-10",))
    assert (pack.sent, pack.recorded) == (3840, 1920)


def test_views_say_what_the_rules_judge(reports: Reports) -> None:
    """The picture's density is that of the fact sheet which rules read."""
    survey = _survey(reports("gannet-bay"))
    sheets = {each.camera.name: each for each in survey.sheets("view") if each.known("density") is not None}
    assert sheets
    for view in views_of(survey):
        for name in view.cameras:
            if name in sheets:
                assert view.at == sheets[name].slant
                assert view.density(view.at) == pytest.approx(sheets[name].density)
                assert view.angle == pytest.approx(sheets[name].angle)
