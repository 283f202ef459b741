"""Where the data that belongs to the program lies: rules, schemas and examples.

A wheel carries them inside the package (`_rules`, `_schemas`, `_examples`); a checkout has them beside
`engine/`. Nothing here reads or judges what the files say.
"""

from __future__ import annotations

from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Literal

DataKind = Literal["rules", "schemas", "examples"]


def data_root(kind: DataKind) -> Traversable:
    """Return the folder of `kind`: inside the installed package, or beside engine/ in a checkout.

    The package is looked at first. In an editable install it is found under engine/, without a `_rules`,
    so the checkout is read and not the copy that goes stale in site-packages. Raises FileNotFoundError when
    neither is there.
    """
    packaged = files("coaxwright") / f"_{kind}"
    if packaged.is_dir():
        return packaged
    checkout = Path(__file__).resolve().parents[2] / kind
    if checkout.is_dir():
        return checkout
    raise FileNotFoundError(f"{kind}/ is neither in the installed package nor beside engine/")
