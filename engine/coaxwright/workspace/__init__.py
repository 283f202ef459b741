"""An open site as an object: its text, its verdict, one history of edits, and a small protocol to talk with it.

No sockets, and no files but those of the store that it is given. The desk, an editor and the Python API stand on it.
"""
