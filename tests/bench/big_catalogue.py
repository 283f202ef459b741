"""Invented catalogues of any size, for tables of pairs: `python tests/bench/big_catalogue.py 5000 1000 FOLDER`.

Every camera and recorder is drawn from what the trade offers in general: sizes, families, rates, features, makers.
Prices, titles and housings differ from part to part; what settles a pair repeats, as it does in real ranges.
The same numbers give the same bytes.
"""

from __future__ import annotations

import random
import sys
from pathlib import Path

MAKERS = ("tarnwell", "fennick", "brackwater", "hollin", "marlow-ferry", "quayside", "ostler", "pennant")
MODES = {
    2: ["1920x1080@25", "1920x1080@30"],
    4: ["2560x1440@25", "2560x1440@30", "1920x1080@25", "1920x1080@30"],
    5: ["2592x1944@20", "2592x1944@12.5", "2560x1440@25", "1920x1080@25", "1920x1080@30"],
    8: ["3840x2160@15", "3840x2160@12.5", "2592x1944@20", "2560x1440@25", "1920x1080@25", "1920x1080@30"],
}
FAMILY_SETS = (["tvi"], ["ahd"], ["tvi", "ahd"], ["tvi", "ahd", "cvi"], ["cvi"], ["tvi", "cvi"])


def camera(place: int, rng: random.Random) -> list[str]:
    """One camera's lines."""
    maker, size = rng.choice(MAKERS), rng.choice((2, 4, 5, 8))
    families = rng.choice(FAMILY_SETS)
    drop = rng.random() < 0.4
    modes = [mode for mode in MODES[size] if not (drop and mode.endswith("@12.5"))]
    composite = rng.random() < 0.7
    lines = [
        f"  {maker}/cam-{place}:",
        "    kind: camera",
        f"    title: invented camera {place}",
        f"    source: invented datasheet {place}",
        f"    price: {rng.randrange(25, 400)}",
        "    emits:",
        f"      - {{family: [{', '.join(families)}], mode: [{', '.join(modes)}]}}",
    ]
    if composite:
        lines.append("      - {family: cvbs, mode: [960x576@25, 960x480@30]}")
    if rng.random() < 0.9:
        lines.append(f"    starts_as: {{family: {families[0]}, mode: {modes[0]}}}")
    lines.append("    switched_by: [menu-over-coax]")
    if rng.random() < 0.9:
        lines.append(f"    heeds_asks: {str(rng.random() < 0.7).lower()}")
    if rng.random() < 0.5:
        lines.append(f"    firmware_over_coax: [{families[0]}]")
    lines.append(f"    sound: {{microphone: {str(rng.random() < 0.6).lower()}, over_coax: [{families[0]}]}}")
    if rng.random() < 0.9:
        lines.append(f"    control: {{over_coax: [{', '.join(families)}], moves: false}}")
    night = round(rng.uniform(3, 9), 1)
    lines.append(f"    power: {{kind: dc, volts: 12 V, volts_min: 10.8 V, watts_day: 2.5 W, watts_night: {night} W}}")
    return lines


def recorder(place: int, rng: random.Random) -> list[str]:
    """One recorder's lines."""
    maker, channels = rng.choice(MAKERS), rng.choice((4, 8, 16, 32))
    families = rng.choice(FAMILY_SETS[2:])
    listed = ", ".join(families)
    lines = [
        f"  {maker}/rec-{place}:",
        "    kind: recorder",
        f"    title: invented recorder {place}",
        f"    source: invented datasheet {place}",
        f"    price: {rng.randrange(120, 2400)}",
        "    inputs:",
        f"      - channels: 1-{channels}",
        "        accepts:",
        f"          - {{family: [{listed}], mode: [1920x1080@25, 1920x1080@30]}}",
        "          - {family: cvbs, mode: [960x576@25, 960x480@30]}",
    ]
    largest = rng.choice((2, 4, 5, 8))
    if largest >= 4:
        lines.append(f"          - {{family: [{families[0]}], mode: [2560x1440@25, 2560x1440@30]{_width(rng)}}}")
    if largest >= 5:
        lines.append(
            f"          - {{family: [{families[0]}], mode: [2592x1944@12.5], maker: {rng.choice(['any', 'own'])}}}"
        )
        lines.append(f"          - {{family: [{listed}], mode: [2592x1944@20], width: reduced}}")
        lines.append(
            f"        asks: [{{maker: own, family: {families[0]}, seen: 2592x1944@20, wanted: 2592x1944@12.5}}]"
        )
    lines += [
        "    encodes:",
        "      - {up_to: 2592x1944, rate: 12.5 fps}",
        f"      - {{up_to: 1920x1080, rate: {rng.choice((12, 15, 25, 30))} fps}}",
        f"    encodes_total: {channels * rng.choice((26, 52, 62))} Mpx/s",
        f"    sound: {{coax_channels: 1-{rng.choice((1, channels))}, coax_families: [{families[0]}], line_inputs: 1}}",
        f"    control: {{coax_families: [{listed}], coax_maker: {rng.choice(['any', 'own'])}}}",
        f"    sorted_motion: 1-{rng.choice((2, 4))}",
    ]
    if rng.random() < 0.5:
        lines.append(f"    firmware_over_coax: {{families: [{families[0]}], maker: own}}")
    return lines


def _width(rng: random.Random) -> str:
    return ", width: reduced" if rng.random() < 0.5 else ""


def catalogue(cameras: int, recorders: int, seed: int = 5) -> str:
    """The text of a part file with so many cameras and recorders."""
    rng = random.Random(seed)
    lines = ["# Invented: no such parts exist.", "currency: EUR", "parts:"]
    for place in range(cameras):
        lines += camera(place, rng)
    for place in range(recorders):
        lines += recorder(place, rng)
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    folder = Path(sys.argv[3])
    folder.mkdir(parents=True, exist_ok=True)
    text = catalogue(int(sys.argv[1]), int(sys.argv[2]))
    (folder / "catalogue.yaml").write_text(text, encoding="utf-8")
