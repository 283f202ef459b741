"""Elements of a page as text that can only be made escaped: the one place where `<` is ever written.

Children that are plain strings are text of somebody and are escaped; `Markup` is what `tag` made. Controls and
characters that change the direction of text are shown as escapes, so that nothing on the page reads other than
it is. Knows nothing of sites or findings.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from html import escape

from coaxwright.show.figures import plain
from coaxwright.show.painter import visible

_VOID = frozenset({"br", "hr", "img", "input", "link", "meta", "wbr"})
_SAFE_NAME = re.compile(r"[A-Za-z][A-Za-z0-9:-]*")


class Markup(str):
    """Finished markup. Made by this module only."""

    __slots__ = ()


Child = str | Markup | None
NOTHING = Markup("")


def text(value: str) -> Markup:
    """Someone's words as markup that shows exactly these words."""
    return Markup(escape(visible(value), quote=True))


def tag(name: str, /, *children: Child | Iterable[Child], **attributes: str | float | bool | None) -> Markup:
    """An element. Attributes: `class_` is `class`, `_` in a name is `-`, None and False leave one out.

    ValueError for a name that is none, so that nobody's text can become one.
    """
    if not _SAFE_NAME.fullmatch(name):
        raise ValueError(f"`{name}` is no element name")
    head = "".join(_attribute(key, value) for key, value in attributes.items())
    if name in _VOID:
        return Markup(f"<{name}{head}>")
    inner = "".join(map(_inner, children))
    return Markup(f"<{name}{head}>{inner}</{name}>")


def join(children: Iterable[Child], between: Child = None) -> Markup:
    """Children one after the other."""
    return Markup(_one(between).join(_one(child) for child in children))


def stylesheet(css: str) -> Markup:
    """A style element; ValueError where the text would end it."""
    if "<" in css:
        raise ValueError("a stylesheet holds no `<`")
    return Markup(f"<style>{css}</style>")


def script(code: str) -> Markup:
    """A script element with code of the program; ValueError where the text would end it."""
    if "</" in code or "<!" in code:
        raise ValueError("a script holds neither `</` nor `<!`")
    return Markup(f"<script>{code}</script>")


def page(head: Markup, body: Markup) -> str:
    """The whole document, its language English."""
    return f'<!doctype html>\n<html lang="en">\n{head}\n{body}\n</html>\n'


def _inner(child: Child | Iterable[Child]) -> str:
    return _one(child) if child is None or isinstance(child, str) else "".join(map(_one, child))


def _one(child: Child) -> str:
    if child is None:
        return ""
    return child if isinstance(child, Markup) else text(child)


def _attribute(key: str, value: str | float | bool | None) -> str:
    if value is None or value is False:
        return ""
    name = key.rstrip("_").replace("_", "-")
    if value is True:
        return f" {name}"
    shown = number(value) if isinstance(value, int | float) else escape(visible(value), quote=True)
    return f' {name}="{shown}"'


def number(value: float) -> str:
    """A coordinate or size: at most two decimals."""
    return plain(value, 2)
