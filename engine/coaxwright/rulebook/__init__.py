"""Rules as data: the rule language, and the loading and judging of rules written in it.

Nothing is imported here, so that a command pays only for the parts it uses. The language, by module:

- `types`: Bool Int Num Text ListOf Ref Unit, FieldSpec, KindSpec, Environment
- `typing_check`: `check_expression(text, environment, expect=None) -> Checked`, raises `errors.Refusal`
- `checked`: Checked (.text .type .paths .syntax), Unknown(missing), Fault(what, start, end), `to_plain`, `from_plain`
- `evaluating`: `evaluate(checked, bindings) -> object | Unknown | Fault`, exact
- `compiling`: `compile_expression(checked, parameters) -> Callable`, fast; any exception means: ask `evaluate`;
  `evaluator(checked, parameters) -> Callable`, fast with the exact one behind it
- `sweeping`: `compile_sweep(when, require, variable, constants) -> Callable[[Iterable[object]], Sweep]`,
  Sweep(passed, not_applicable, failed, unsettled); `sweep_code` and `bind_sweep` are its halves, for a cache
- `conforming`: `wrong_fields(sheet, kind)`, for tests of fact sheets
"""

from __future__ import annotations
