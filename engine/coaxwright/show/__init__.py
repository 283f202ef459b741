"""How results look: a tree of what is to be shown, and its forms for a terminal, Markdown, a page, CSV and JSON.

Knows nothing of sites, rules or findings, so that every room above the model may print through it.
"""
