"""Will this camera work on this recorder, and how: the counter question, tables of it, and kits.

A pair is a smallest site: what is answered here is what `check` finds there. Not here: printing (`cli`), and
anything that a site with more than one kind of camera would change.
"""
