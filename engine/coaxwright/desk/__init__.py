"""The desk: a site on a page that answers while one types. Loopback only; nothing is sent anywhere.

`session` answers for one page with fragments that `views` render; `guard` and `server` are the only way in.
"""
