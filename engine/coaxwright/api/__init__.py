"""What Python callers use: `from coaxwright import load_site, check, pair, fix, limits, what_if, quiz`.

Every function takes a site as a path, as what `load_site` or `load_text` gave, or as a mapping of plain values; every
result prints itself, has `to_dict` (the JSON of the command of that name), `to_frame` (needs pandas) and a form for
notebooks. docs/python/index.md is made from what stands here.
"""
