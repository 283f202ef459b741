"""One face for every browser that tests start, whatever else the machine has installed.

Lettering differs from face to face: what is measured in a drawing or on paper would hang on which fonts happen to be
there. The fonts are DejaVu's (Debian: fonts-dejavu-core); fontconfig is given a configuration that knows no others.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

PLACES = (
    "/usr/share/fonts/truetype/dejavu", "/usr/share/fonts/dejavu", "/usr/share/fonts/dejavu-sans-fonts",
    "/usr/share/fonts/TTF", "/usr/local/share/fonts/dejavu", "/opt/homebrew/share/fonts", "~/.local/share/fonts",
)  # fmt: skip
CONFIGURATION = """<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig>
  <dir>{fonts}</dir>
  <cachedir>{cache}</cachedir>
  <alias><family>sans-serif</family><prefer><family>DejaVu Sans</family></prefer></alias>
  <alias><family>serif</family><prefer><family>DejaVu Serif</family></prefer></alias>
  <alias><family>monospace</family><prefer><family>DejaVu Sans Mono</family></prefer></alias>
</fontconfig>
"""


def dejavu() -> Path | None:
    """The folder that holds DejaVu Sans; None where this machine has none, or no fontconfig to be told."""
    if sys.platform in ("win32", "darwin"):
        return None
    folders = (Path(place).expanduser() for place in (os.environ.get("COAXWRIGHT_FONTS", ""), *PLACES) if place)
    return next((folder for folder in folders if (folder / "DejaVuSans.ttf").is_file()), None)


def only_dejavu(folder: Path) -> dict[str, str] | None:
    """The environment of a browser that sees DejaVu alone, its configuration written into `folder`; None without it."""
    found = dejavu()
    if found is None:
        return None
    (folder / "fonts").mkdir()
    for file in found.glob("DejaVuS*.ttf"):
        (folder / "fonts" / file.name).symlink_to(file)
    configuration = folder / "fonts.conf"
    configuration.write_text(CONFIGURATION.format(fonts=folder / "fonts", cache=folder / "cache"), encoding="utf-8")
    return {**os.environ, "FONTCONFIG_FILE": str(configuration)}
