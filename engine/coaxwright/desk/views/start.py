"""Before a site is open: the files of the folder, a new site from a few questions, the example."""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.desk.views.look import FIRST
from coaxwright.desk.views.pieces import button, goes
from coaxwright.show.figures import count
from coaxwright.show.markup import Child, Markup, tag
from coaxwright.workspace.project import Workspace

_MOST = 200
_EXAMPLE = "A small site with three faults, each with a proven change. It is copied into this folder, so that you may change it."
_BRING = "A site file together with the part files that it names. They are copied into this folder."
_STAND = (("indoor", "indoors"), ("sheltered", "sheltered"), ("outdoor", "outdoors"))
_RATES = (("25", "50 Hz, 25 frames"), ("30", "60 Hz, 30 frames"))


def start(work: Workspace) -> Markup:
    """What do you want to check?"""
    names = work.store.names()
    items = [tag("li", button("open", name, name=name, class_="plain")) for name in names[:_MOST]]
    more = tag("p", f"{len(names) - _MOST} more are not shown.", class_="quiet") if len(names) > _MOST else None
    told = f"{count(len(names), 'site')} in this folder." if names else "There is no site in this folder yet."
    back = goes(FIRST, "Back to the open site") if work.is_open else None
    return tag(
        "div",
        tag("h1", "What do you want to check?", id="h1", tabindex="-1"),
        tag("p", "Everything stays on this machine. Nothing is sent anywhere.", class_="quiet"),
        back,
        tag(
            "div",
            _part("open", "Open a site", tag("p", told), tag("ul", items, class_="files") if items else None, more,
                  _acts(button("bring", "Bring files from elsewhere", pick=".yaml,.yml", many=True)),
                  tag("p", _BRING, class_="quiet")),
            _part("new", "Start a new site", _new(_without_parts(work))),
            _part("example", "See how it works", tag("p", _EXAMPLE), _acts(button("example", "Open the example"))),
            class_="starts",
        ),
    )  # fmt: skip


def _part(name: str, words: str, *content: Child) -> Markup:
    return tag("section", tag("h2", words, id=f"h-{name}"), content, aria_labelledby=f"h-{name}")


def _acts(button: Markup) -> Markup:
    return tag("div", button, class_="acts")


def _without_parts(work: Workspace) -> bool:
    return not any(each.is_file() for each in work.store.root.glob("parts/*.yaml"))


def _new(sample: bool) -> Markup:
    return tag(
        "form",
        _field("new-name", "site", "Name of the site", required=True, maxlength="200"),
        _choice("new-rate", "video_rate", "Mains and frame family", _RATES),
        _field("new-cameras", "cameras", "Cameras", placeholder="how many, or their names", maxlength="2000"),
        _choice("new-setting", "setting", "Most of them stand", _STAND),
        _field("new-length", "length", "A usual run", placeholder="such as 40 m; empty where not known", maxlength="40"),
        _field("new-days", "retention", "Keep recordings", value="30 days", maxlength="40"),
        _field("new-file", "name", "File name", placeholder="taken from the name", maxlength="120"),
        _sample() if sample else None,
        _acts(tag("button", "Start", type="submit")),
        data_do="begin",
    )  # fmt: skip


def _choice(anchor: str, name: str, words: str, choices: Sequence[tuple[str, str]]) -> Markup:
    listed = [tag("option", told, value=value) for value, told in choices]
    return tag("div", tag("label", words, for_=anchor), tag("select", listed, id=anchor, name=name))


def _sample() -> Markup:
    """No part file lies here: without one there is no camera to choose."""
    box = tag("input", type="checkbox", id="new-sample", name="sample", checked=True)
    return tag(
        "label",
        box,
        " Put sample parts beside it: invented, to try with. There is no part file here yet.",
        class_="tick",
    )


def _field(anchor: str, name: str, words: str, **rest: Child | bool) -> Markup:
    field = tag("input", type="text", id=anchor, name=name, autocomplete="off", **rest)
    return tag("div", tag("label", words, for_=anchor), field)
