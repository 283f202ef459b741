"""What is known of symptoms and causes: enough of it, each row founded, and nothing that leads nowhere."""

from __future__ import annotations

from coaxwright.diagnosis.knowledge import WORKS, load_knowledge

KNOWN = load_knowledge()


def test_there_are_at_least_forty_rows_and_each_has_a_source() -> None:
    """Common practice: a table of a trade manual has some forty."""
    assert len({(row.symptom, row.cause) for row in KNOWN.rows}) == len(KNOWN.rows) >= 40
    assert all(row.source and row.because and row.confirms for row in KNOWN.rows)


def test_every_symptom_has_a_row_and_every_cause_one() -> None:
    assert {row.symptom for row in KNOWN.rows} == set(KNOWN.symptoms) - {WORKS}
    assert {row.cause for row in KNOWN.rows} == set(KNOWN.causes)


def test_dangerous_causes_carry_a_caution() -> None:
    """Common practice: work on supplies and earths is for competent persons."""
    for name, cause in KNOWN.causes.items():
        if any(word in cause.says for word in ("supply", "earth", "power cable", "output {")) and "sound" not in name:
            assert cause.caution or name in ("heat-drifts", "conductors-hot"), name


def test_no_word_promises_that_something_is_without_danger() -> None:
    texts = [*(each.repair for each in KNOWN.causes.values()), *(each.how for each in KNOWN.measurements.values())]
    assert not any(word in text.lower() for text in texts for word in ("safe", "protected"))
