"""Whole systems from wants: cameras that are known by what they are there for, distances, and a priced catalogue."""
