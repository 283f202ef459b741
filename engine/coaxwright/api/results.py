"""What all results have in common: plain data, rows for a data frame, text, and a page for a notebook."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.show.forms import rendered
from coaxwright.show.markup import tag
from coaxwright.show.tree import Document

HIGH = 480
"""Pixels that a result is high in a notebook; it scrolls inside."""


class Result:
    """A result of the Python API. `print` shows what the command of the same name prints.

    In a notebook it shows as a page in a frame of its own: nothing is loaded and no script of a site runs.
    """

    __slots__ = ()

    def to_dict(self) -> dict[str, Any]:
        """Plain values (str, int, float, bool, None, list, dict), equal to the command's JSON: `format` is 2.

        A new object at every call: changing it changes nothing else. Lengths, volts and so on are numbers in base
        units (m, V, A, W, s, bit/s), as `unit` beside them says or docs/rules/facts.md does.
        """
        raise NotImplementedError

    def to_frame(self) -> Any:
        """A `pandas.DataFrame`, one row for each of `rows()`.

        Raises Refusal where pandas is not installed: nothing else here needs it.
        """
        try:
            from pandas import DataFrame
        except ImportError:
            right = "install it (`pip install pandas`), or take `rows()`"
            raise Refusal([Problem("pandas", "is not installed, and a data frame needs it", right)]) from None
        return DataFrame(list(self.rows()))

    def rows(self) -> Sequence[Mapping[str, Any]]:
        """What a table of this result would hold, a mapping for each row with the same keys in each."""
        raise NotImplementedError

    def page(self) -> str:
        """The whole result as one HTML page that loads nothing."""
        raise NotImplementedError

    def _repr_html_(self) -> str:
        style = f"width:100%;height:{HIGH}px;border:1px solid #888"
        return str(tag("iframe", srcdoc=self.page(), sandbox=True, style=style, title=type(self).__name__))


class Told(Result):
    """A result whose text and page are a document."""

    __slots__ = ()

    def _document(self, form: str) -> Document:
        raise NotImplementedError

    def page(self) -> str:
        """The result as one HTML page that loads nothing."""
        return rendered(self._document("html"), "html")

    def __str__(self) -> str:
        """What the command prints."""
        return rendered(self._document("text"), "text")
