"""An independent bill of a site: every priced part counted by walking the models, cable by the metre."""

from __future__ import annotations


def price_of_site(site, catalogue) -> float:
    """Sum of all prices; parts without a price count for nothing (the fixes under test know all their prices)."""

    def price(name):
        return catalogue.part(name).price or 0.0

    total = 0.0
    for group in ("cameras", "recorders", "supplies", "boxes", "switches", "monitors"):
        total += sum(price(entry.part) for entry in getattr(site, group).values())
    total += sum(price(disk) for recorder in site.recorders.values() for disk in recorder.disks or ())
    for camera in site.cameras.values():
        if camera.sound is not None and camera.sound.pickup is not None:
            total += price(camera.sound.pickup)
    for group in ("cameras", "recorders", "junctions", "boxes"):
        for entry in getattr(site, group).values():
            for use in ("video", "power", "sound", "control"):
                way = getattr(entry, use, None)
                total += sum(
                    price(hop.cable) * (hop.length or 0.0) for hop in (way.over or () if way else ()) if hop.cable
                )
    return total
