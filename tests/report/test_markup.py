"""Markup, figures and margins: nothing of a user's text becomes an element; words, sides and lengths of margins."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.reporting.page.margins import FULL, Margin, above, below, gauge, smaller
from coaxwright.show import figures
from coaxwright.show.markup import Markup, join, number, stylesheet, tag, text
from coaxwright.show.painter import visible


class _Reader(HTMLParser):
    """An independent reader of the same standard library family: elements seen and the text between them."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.said = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.said += data


def _read(markup: str) -> _Reader:
    reader = _Reader()
    reader.feed(markup)
    reader.close()
    return reader


@given(st.text(alphabet=st.characters(codec="utf-8"), max_size=60))
def test_text_is_read_back_as_it_was(value: str) -> None:
    """HTML Living Standard, 13.2.5 (tokenization): text holds no element, and character references give it back."""
    read = _read(tag("p", value, title=value))
    assert [name for name, _ in read.elements] == ["p"]
    assert read.said == visible(value)
    assert read.elements[0][1] == {"title": visible(value)}


@given(st.lists(st.text(alphabet="<>&\"'ab", max_size=8), max_size=5))
def test_children_are_escaped_one_by_one(values: list[str]) -> None:
    read = _read(tag("ul", [tag("li", value) for value in values], join(values, ", ")))
    assert [name for name, _ in read.elements] == ["ul", *["li"] * len(values)]
    assert read.said == "".join(values) + ", ".join(values)


@pytest.mark.parametrize("name", ["", "p onclick=x", "p>", "1p", "script/", "p\n"])
def test_no_text_becomes_an_element_name(name: str) -> None:
    with pytest.raises(ValueError, match="no element name"):
        tag(name, "x")


def test_a_stylesheet_cannot_be_ended() -> None:
    assert stylesheet("p{color:red}") == "<style>p{color:red}</style>"
    with pytest.raises(ValueError, match="no `<`"):
        stylesheet("p{}</style>")


def test_attributes() -> None:
    assert tag("a", href="#x", class_="b", aria_hidden="true", open=True, id=None, hidden=False) == (
        '<a href="#x" class="b" aria-hidden="true" open></a>'
    )
    assert tag("br") == "<br>"
    assert text("a<b") == "a&lt;b"
    assert isinstance(text("a"), Markup)


@pytest.mark.parametrize(
    ("value", "shown"), [(0, "0"), (-0.001, "0"), (1.5, "1.5"), (100, "100"), (1e3, "1000"), (-2.345, "-2.35"), (0.004, "0")]
)
def test_coordinates(value: float, shown: str) -> None:
    assert number(value) in (shown, shown.replace("2.35", "2.34"))


def test_figures() -> None:
    assert figures.volts(11.5) == "11.5 V"
    assert figures.volts(None) == "not known"
    assert figures.volts(float("nan")) == "not known"
    assert figures.days(float("inf")) == "without end"
    assert figures.metres(8.25) == "8.2 m"
    assert figures.metres(85.4) == "85 m"
    assert figures.terabytes(8e12) == "8 TB"
    assert figures.megabits(3_200_000) == "3.2 Mb/s"
    assert figures.count(1, "supply", "supplies") == "1 supply"
    assert figures.count(0, "supply", "supplies") == "0 supplies"


@pytest.mark.parametrize(
    ("margin", "words", "state"),
    [
        (above(10.8, 10.0), "8.0 % to spare", "spare"),
        (above(9.3, 10.0), "short by 7.0 %", "short"),
        (above(10.0, 10.0), "on the limit", "close"),
        (above(10.2, 10.0), "2.0 % to spare", "close"),
        (below(85.0, 100.0), "15 % to spare", "spare"),
        (below(120.0, 100.0), "short by 20 %", "short"),
        (below(1899.9999999999998, 1900.0), "on the limit", "close"),
        (above(None, 10.0), "not known", "none"),
        (above(5.0, None, "no rate wanted"), "no rate wanted", "none"),
    ],
)
def test_margins_in_words(margin: Margin, words: str, state: str) -> None:
    assert margin.words == words
    assert margin.state == state
    assert words in _read(gauge(margin)).said


def test_the_smaller_margin_counts() -> None:
    low, high, unknown = Margin(0.4), Margin(-0.1), Margin(None)
    assert smaller(low, high, unknown) is high
    assert smaller(unknown, unknown) is unknown


def _length(share: float) -> tuple[float, float]:
    """Start and length of the bar, read out of its path."""
    drawn = re.search(r'class="fill" d="M([\d.]+) 2.5h([\d.]+)v', gauge(Margin(share)))
    assert drawn is not None
    return float(drawn[1]), float(drawn[2])


@given(st.floats(min_value=-2, max_value=2).filter(lambda share: abs(share) > 0.06))
def test_length_and_side_of_the_bar(share: float) -> None:
    """What is short lies left of the notch, what is left lies right of it; the length is the share, cut at half."""
    start, long = _length(share)
    room = 24.0 if share < 0 else 48.0
    assert long == pytest.approx(room * min(abs(share) / FULL, 1.0), abs=0.06)
    assert start == pytest.approx(24.0 - long if share < 0 else 24.0, abs=0.06)


@given(st.floats(min_value=1e-6, max_value=0.06))
def test_the_smallest_margin_is_still_seen(share: float) -> None:
    assert _length(share)[1] >= 2.0
    assert _length(-share)[1] >= 2.0
