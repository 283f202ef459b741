"""Pure physics: plain numbers in, plain numbers out, no project types and no files.

Units are those named by each argument (m, mm2, V, A, W, ohm, degC, MHz, dB, bit/s, bytes). Impossible input
is a `ValueError`. What a number means for a site, and where it came from, is the business of the packages
above.
"""
