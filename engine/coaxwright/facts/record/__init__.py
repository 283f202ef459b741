"""Recorders and their disks: what is stored of each channel, for how long, on what."""
