"""Names that people write for cables: sizes and conductors read out of them, and which parts come near.

`RG-59/U` says an impedance and a size, `18 AWG` or `0.75 mm2` a conductor: a cable of another size is never what was
meant, and one of another conductor is not offered before one of the same. Not here: which names are aliases of a
part (data of the part files).
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from coaxwright.reading.suggest import asked, nearest

_SIGNS = re.compile(r"[^a-z0-9.]+|(?<![0-9])\.|\.(?![0-9])")
_SIZES = (
    re.compile(r"rg(\d+)"),
    re.compile(r"(?<![\d.])(\d+(?:\.\d+)?)(?:mm2|mm|sqmm)"),
    re.compile(r"(?<!\d)(\d{1,2})(?:awg|ga)"),
    re.compile(r"awg(\d{1,2})"),
    re.compile(r"cat(\d+a?)"),
)
_KINDS = ("rg", "mm2", "awg", "awg", "cat")
_CONDUCTORS = {
    "cca": ("cca",), "aluminium": ("cca",), "aluminum": ("cca",), "ccs": ("ccs",), "steel": ("ccs",), "clad": ("cca", "ccs"),
    "copper": ("copper",), "bc": ("copper",),
}  # fmt: skip
_MOST = 2
# Sizes of coax with 75 ohm, the impedance that video needs (MIL-C-17 type numbers, from memory).
_OF_75_OHM = frozenset({"6", "11", "59"})


def plain_name(name: str) -> str:
    """A name without capitals, blanks and signs: `RG-59/U`, `rg 59 u` and `RG59U` are one."""
    return _SIGNS.sub("", name.casefold().replace("²", "2"))


def size_of(name: str) -> tuple[str, str] | None:
    """The size that a name says, as kind and number (`("rg", "59")`); None where it says none."""
    plain = plain_name(name)
    for kind, pattern in zip(_KINDS, _SIZES, strict=True):
        match = pattern.search(plain)
        if match:
            return kind, match[1]
    return None


def says_conductor(name: str) -> bool:
    """Whether a name says what its conductor is made of, as in `RG-59 CCA`."""
    return not _words(name).isdisjoint(_CONDUCTORS)


HOW_NAMED = "name size and conductor, as in `rg59-copper` or `cat5e` (`coaxwright parts list --kind cable` shows all)"
"""What to write where nothing comes near a name of a cable: `coax` says neither."""


def near_cables(name: str, cables: Iterable[str]) -> str:
    """`did you mean ...?` for a cable that is not known: of the same size only, like conductors first.

    Of an RG number that no cable has, those of 75 ohm with its digits in another order. An empty string where the name says
    another size that no cable has, or a conductor that none of its size has, or says none and resembles nothing.
    """
    known = sorted(cables)
    size = size_of(name)
    if size is None:
        return asked(nearest(name, (each for each in known if size_of(each) is None), _MOST))
    sizes = {each: size_of(each.rpartition("/")[2]) for each in known}
    same = [each for each, own in sizes.items() if own == size] or [each for each, own in sizes.items() if _swapped(size, own)]
    ranked = sorted((_unlike(name, each), each) for each in same)
    if ranked and ranked[0][0][0] and says_conductor(name):
        return ""
    return asked([each for how, each in ranked if how == ranked[0][0]][:_MOST])


def _swapped(one: tuple[str, str], other: tuple[str, str] | None) -> bool:
    """Whether a number has the digits of a coax of 75 ohm in another order: `RG-95` for RG-59.

    A slip never leads to a coax of another impedance: `RG-85` is not taken for RG-58 of 50 ohm.
    """
    return other is not None and one[0] == other[0] == "rg" and other[1] in _OF_75_OHM and sorted(one[1]) == sorted(other[1])


def _unlike(name: str, cable: str) -> tuple[bool, int, int]:
    """How far a cable is from a name: another conductor, words not shared, words in excess."""
    words, own = _words(name), _words(cable)
    wanted = next((made for word, made in _CONDUCTORS.items() if word in words), ("copper",))
    clad = own & {"cca", "ccs"}
    other = bool(clad - set(wanted)) or (wanted != ("copper",) and not clad)
    return other, -len(words & own), len(own - words)


def _words(name: str) -> set[str]:
    return set(filter(None, re.split(r"[^a-z0-9.]+", name.casefold())))
