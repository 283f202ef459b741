"""One thing and several in a sentence: "1 disk is fitted" where the template says "{n} disks are fitted".

A template is written for several. Where a whole number prints as 1, the noun that follows it at once (or after words that tell
which) is told of one, and so is the verb right behind.
"""

from __future__ import annotations

import re

NOUNS = frozenset(
    ("addresses", "amplifiers", "bays", "boxes", "cables", "cameras", "channels", "circuits", "columns", "devices", "disks",
     "elements", "findings", "inputs", "joints", "kinds", "labels", "lines", "members", "outputs", "pairs", "pickups", "ports",
     "protocols", "recorders", "runs", "screens", "sites", "spares", "speeds", "supplies", "switches", "viewers", "wires")
)  # fmt: skip
"""Nouns that templates count, as they are written for several."""
_WHICH = "(?:coax|free|hot|line|loudspeaker|mains|more|network|other|picture|sound|spare|such|switch|video)"
_VERBS = {"are": "is", "have": "has", "were": "was", "do": "does"}
_VERBS.update((verb, f"{verb}s") for verb in ("end", "leave", "share", "stand"))
_NOUN, _VERB = "|".join(sorted(NOUNS)), "|".join(_VERBS)
_BEHIND = re.compile(rf"^(?P<which>(?: {_WHICH})*)(?: (?P<noun>{_NOUN})\b)?(?: (?P<verb>{_VERB})\b)?")
_SAME = {"addresses": "address", "boxes": "box", "switches": "switch", "supplies": "supply"}


def behind_one(text: str) -> str:
    """What follows a 1, told of one thing."""
    found = _BEHIND.match(text)
    if found is None or not found.end() or (found["noun"] is None and found["which"]):
        return text
    noun = found["noun"]
    words = "".join((
        found["which"],
        f" {_SAME.get(noun, noun.removesuffix('s'))}" if noun else "",
        f" {_VERBS[found['verb']]}" if found["verb"] else "",
    ))  # fmt: skip
    return words + text[found.end() :]
