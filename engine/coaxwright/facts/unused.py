"""What a file may state and nothing is worked out from yet: told where somebody states it, so that nobody counts on it.

Not here: what a part lacks (`open_facts`), and what contradicts itself (`contradictions`).
"""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import BaseModel

from coaxwright.reading.site_reader import LoadedSite

Path = tuple[str | int, ...]

UNUSED_OF_PARTS = {
    "sensor_height": "what the picture shows from top to bottom is not worked out yet",
    "inrush_time": "the current at switching on is judged, not how long it lasts",
    "watts": "the power of disks is taken to be in that of their recorder",
}
"""Fields of parts by name, in whatever part they stand, and what is not worked out from them."""
UNUSED_OF_SITES = {
    "tilt": "how far a camera looks down is taken from its height and what it watches",
    "mains": "whether there is mains is not asked: supplies are taken to have it",
    "peak_watts": "devices are taken to draw what their parts state",
}
"""The same of `lens` of a camera and of `assume` in a site file."""


def unused_in(part: BaseModel, before: Path = ()) -> Iterator[tuple[Path, str]]:
    """Where a part states what nothing is worked out from, and the words for it."""
    for name in sorted(part.model_fields_set):
        value = getattr(part, name)
        if isinstance(value, BaseModel):
            yield from unused_in(value, (*before, name))
        elif value is not None and name in UNUSED_OF_PARTS and (name != "watts" or getattr(part, "kind", "") == "disk"):
            yield (*before, name), f"`{name}` is not used yet: {UNUSED_OF_PARTS[name]}"


def unused_of_site(loaded: LoadedSite) -> tuple[str, ...]:
    """What a site file itself states and nothing is worked out from, with file, line and column."""
    site, found = loaded.site, []
    places = [(("cameras", name, "lens"), camera.lens) for name, camera in site.cameras.items()]
    for path, written in (*places, (("assume",), site.assume)):
        for field in sorted(written.model_fields_set & UNUSED_OF_SITES.keys()) if written is not None else ():
            if getattr(written, field) is not None:
                span = loaded.document.nearest_span((*path, field))
                words = f"{'/'.join(path)}: `{field}` is not used yet: {UNUSED_OF_SITES[field]}"
                found.append((span, f"{loaded.file}:{span.line}:{span.column}: note: {words}"))
    return tuple(words for _, words in sorted(found))
