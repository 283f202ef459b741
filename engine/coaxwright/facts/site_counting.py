"""What is counted over all cameras of a site, and by name for its working."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.sheets import Site
from coaxwright.facts.written import named
from coaxwright.model.site import Camera as CameraEntry


def _wants_sound(camera: CameraEntry) -> bool:
    return camera.sound is not None or bool(camera.wants and camera.wants.sound)


_COUNTED: Mapping[str, Callable[[Any], bool]] = {
    "camera_count": lambda camera: True,
    "cameras_recorded": lambda camera: camera.video is not None or camera.network is not None,
    "sound_wanted": _wants_sound,
    "cameras_labelled": lambda camera: camera.label is not None,
}
"""Fields of the site's sheet, and which cameras count."""


def site_counts(cameras: Iterable[Any]) -> dict[str, int]:
    """Fields of the site's sheet that are sums over its cameras, so that an edit need not count them anew."""
    entries = list(cameras)
    return {field: sum(map(counts, entries)) for field, counts in _COUNTED.items()}


def site_labels(cameras: Iterable[Any]) -> dict[str, Any]:
    """Fields of the site's sheet about labels that several cameras have."""
    shared = _shared(cameras)
    return {"labels_shared": len(shared), "label_shared": next(iter(shared), "")}


def _shared(cameras: Iterable[Any]) -> list[str]:
    labels = Counter(camera.label for camera in cameras if camera.label is not None)
    return [label for label, count in labels.items() if count > 1]


def _of_cameras(field: str) -> Callable[[Context, Site], tuple[str, ...]]:
    def explain(context: Context, site: Site) -> tuple[str, ...]:
        entries = context.loaded.site.cameras.items()
        return (f"{named(name for name, camera in entries if _COUNTED[field](camera))}: {site.known(field)}",)

    return explain


def _labels(context: Context, site: Site) -> tuple[str, ...]:
    return (f"{named(_shared(context.loaded.site.cameras.values()))}: {site.labels_shared}",)


SITE_WORKINGS: Mapping[tuple[str, str], Callable[[Context, Any], tuple[str, ...]]] = {
    **{("site", field): _of_cameras(field) for field in _COUNTED},
    ("site", "labels_shared"): _labels,
}
