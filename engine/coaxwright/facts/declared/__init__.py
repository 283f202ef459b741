"""Facts that are declared in `rules/facts`, each once: value, what is missing, working and page are made from that line.

- `checking` reads a file of facts and refuses what cannot be meant, at its place; `branches` holds branches apart
- `writing` makes what the program runs of it: `facts/sheets/declared.py` and `expressions.py`
- `book` gives the declarations, `filling` computes them, `working` shows how one came about
- `cases` runs the cases that stand beside each declaration
"""

from __future__ import annotations
