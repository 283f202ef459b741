"""Three answers for the second opinion's verdicts: yes, no, and None where something is not known."""

from __future__ import annotations


def every(*answers):
    """No where one is no; else not known where one is not; else yes."""
    return False if False in answers else None if None in answers else True


def some(*answers):
    """Yes where one is yes; else not known where one is not; else no."""
    return True if True in answers else None if None in answers else False


def no(answer):
    return None if answer is None else not answer


def known(value):
    return value is not None


def is_(value, *wanted):
    """Whether a value is one of those named."""
    return None if value is None else value in wanted


def same(one, other):
    return None if one is None or other is None else one == other


def at_least(one, other):
    return None if one is None or other is None else one >= other


def at_most(one, other):
    return None if one is None or other is None else one <= other


def over(one, other):
    return None if one is None or other is None else one > other


def under(one, other):
    return None if one is None or other is None else one < other


def held(thing, most):
    """Its current by night, and by day where that is known, within a limit: a datasheet's figure for the night is the larger."""
    return every(at_most(thing["amps_night"], most), not known(thing["amps_day"]) or at_most(thing["amps_day"], most))


def sum_of(*values):
    return None if None in values else sum(values)


def times(value, factor):
    return None if value is None or factor is None else value * factor


def less(one, other):
    """Difference."""
    return None if one is None or other is None else one - other


def least_of(*values):
    return None if None in values else min(values)


def judged(holds, when=True):
    """`pass`, `fail`, `open` or `not-applicable`."""
    if when is not True:
        return "open" if when is None else "not-applicable"
    return "open" if holds is None else "pass" if holds else "fail"
