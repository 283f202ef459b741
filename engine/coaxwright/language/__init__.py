"""The rule language: parsing, types with units, the exact and the fast evaluator, sentences with placeholders.

Facts, rules and patterns of questions are written in it. It knows no fact sheet and no rule: what an expression may name is
an `Environment` that the caller gives. Nothing is imported here, so that a command pays only for the parts it uses:

- `types`: Bool Int Num Text ListOf Ref Unit, FieldSpec, KindSpec, Environment
- `typing_check`: `check_expression(text, environment, expect=None) -> Checked`, raises `errors.Refusal`
- `checked`: Checked (.text .type .paths .syntax), Unknown(missing), Fault(what, start, end), `to_plain`, `from_plain`
- `evaluating`: `evaluate(checked, bindings) -> object | Unknown | Fault`, exact
- `compiling`: `compile_expression(checked, parameters) -> Callable`, fast; any exception means: ask `evaluate`;
  `evaluator(checked, parameters) -> Callable`, fast with the exact one behind it
- `sweeping`: `compile_sweep(when, require, variable, constants) -> Callable[[Iterable[object]], Sweep]`,
  Sweep(passed, not_applicable, failed, unsettled); `sweep_code` and `bind_sweep` are its halves, for a cache
- `templates`: sentences with `{expression|unit}`
- `conforming`: `wrong_fields(sheet, kind)`, for tests of fact sheets
"""

from __future__ import annotations
