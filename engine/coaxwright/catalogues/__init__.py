"""Care of catalogues: skeletons of entries, checks of what entries say, and entries read from tables.

Not here: what a part does on a site (`facts`), and which parts a site names (`reading`).
"""
