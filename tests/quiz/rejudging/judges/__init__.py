"""Judges of question patterns, topic by topic."""
