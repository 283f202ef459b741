"""A third opinion: a small oracle written from docs/ and schemas/ alone, and random sites of its own.

Nothing here imports the program but the test that compares. Where the pages say nothing, the oracle says so
(`Gap`), and does not guess what the program does.
"""
