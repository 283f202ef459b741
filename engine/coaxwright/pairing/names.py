"""Which part a call names. Not here: globs and lists, which are in `tables`."""

from __future__ import annotations

from coaxwright.errors import Problem, Refusal
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.suggest import did_you_mean


def known(catalogue: Catalogue, name: str, kind: str) -> str:
    """The full id of a part of that kind. Raises Refusal with near ids otherwise."""
    if not catalogue.has(name):
        what, right = catalogue.unknown(name, kind)
        right = right if catalogue.sources else "name the part files with --parts, as in --parts 'parts/*.yaml'"
        raise Refusal([Problem(name, what, right)])
    found = catalogue.kind(name)
    if found != kind:
        near = did_you_mean(name, catalogue.ids(kind)) or f"name a {kind}"
        raise Refusal([Problem(name, f"this is a {found}, and a {kind} is asked for", near)])
    if kind == "camera" and not catalogue.part(name).emits:
        raise Refusal(
            [Problem(name, "this is a network camera, and nothing of it goes over coax", "name a coax camera")]
        )
    return catalogue.full_id(name)
