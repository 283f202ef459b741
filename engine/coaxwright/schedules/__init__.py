"""Schedules: tables of cameras, cables, power and disks as people keep them in spreadsheets, in and out of a site.

A site file stays the one source; a schedule is read into it as a whole or not at all. Not here: reading a
spreadsheet's cells (`reading.spreadsheet`), and judging (`checking`).
"""
