"""Style by which a matrix with many columns prints whole: each row by itself, its cells side by side under their names."""

from __future__ import annotations

import zlib

from coaxwright.show.tree import Table

MOST_ACROSS = 6
"""Columns beside the name that A4 and Letter have room for with words in every cell."""


def is_wide(block: Table) -> bool:
    """A matrix of outcomes with more columns than a sheet of paper has room for."""
    return bool(block.outcomes) and len(block.columns) - 1 > MOST_ACROSS


def wide_class(block: Table) -> str:
    """A name for its style that follows from its columns."""
    return f"wide-{zlib.crc32(chr(0).join(head.name for head in block.heads()).encode()):08x}"


def folding(block: Table) -> str:
    """The style of a wide matrix in print; on a screen nothing changes."""
    wide = f".document .{wide_class(block)}"
    labels = [
        f'{wide} td:nth-child({place})::before{{content:"{_css_text(head.name)}: "}}'
        for place, head in enumerate(block.heads()[1:], 2)
    ]
    return "\n".join([
        "@media print{",
        f"{wide} thead{{display:none}}",
        f"{wide},{wide} tbody,{wide} tr,{wide} tbody th{{display:block}}",
        f"{wide} tr{{border-top:1px solid var(--ink);padding:.2rem 0;break-inside:avoid}}",
        f"{wide} tbody th,{wide} td{{border-top:0;border-right:0;border-bottom:0}}",
        f"{wide} tbody th{{font-weight:bold}}",
        f"{wide} td{{display:inline-block;box-sizing:border-box;width:32%;vertical-align:top;padding:.1rem .3rem}}",
        f"{wide} td::before{{font-weight:bold}}",
        *labels,
        "}\n",
    ])  # fmt: skip


def _css_text(text: str) -> str:
    """Any text within quotes of a style sheet: what is no letter or figure as its number."""
    return "".join(sign if sign.isascii() and sign.isalnum() else f"\\{ord(sign):x} " for sign in text)
