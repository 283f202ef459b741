"""Named faults of the trade, written out anew over a printed plan, by the rule whose name options print.

Thresholds are those printed among the given figures; where a name says all ("more disks than bays"), the tables do.
"""
