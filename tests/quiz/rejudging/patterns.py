"""The judge of every question pattern by id."""

from __future__ import annotations

from typing import Any

from .judges.coaxial import CABLE
from .judges.counts import COUNTS
from .judges.networks import NETWORK
from .judges.places import PLACES
from .judges.power import POWER
from .judges.sights import SIGHTS
from .judges.signals import PICTURES
from .judges.spots import SPOTS
from .judges.storage import STORAGE
from .judges.talk import OVER_COAX

JUDGES: dict[str, Any] = {
    **POWER,
    **STORAGE,
    **CABLE,
    **PICTURES,
    **COUNTS,
    **OVER_COAX,
    **PLACES,
    **SIGHTS,
    **NETWORK,
    **SPOTS,
}
