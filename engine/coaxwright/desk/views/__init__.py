"""Fragments of the page: HTML made from an open site by the builders of the report. No sockets, no scripts."""
