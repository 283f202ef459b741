"""Generated expressions, by this language and by three independent implementations of the standard it
follows.

Oracles: cel-expr-python (bindings of a C++ implementation), common-expression-language (of a Rust one) and
cel-python. A normal run makes 300 expressions, always the same; COAXWRIGHT_FULL=1 makes 20,000 new ones.
What an oracle is known to do wrong is listed in KNOWN_FAULTS with the reason, and each entry is shown to be
(still) true.
"""

from __future__ import annotations

import contextlib
import json
import os
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coaxwright.language.checked import Fault, Unknown
from coaxwright.language.compiling import compile_expression, evaluator
from coaxwright.language.evaluating import evaluate
from coaxwright.language.sweeping import compile_sweep
from coaxwright.language.types import (
    Bool,
    Environment,
    FieldSpec,
    Int,
    KindSpec,
    ListOf,
    Num,
    Ref,
    Text,
    Type,
)
from coaxwright.language.typing_check import check_expression

FULL = os.environ.get("COAXWRIGHT_FULL") == "1"
EXAMPLES = 20_000 if FULL else 300
NO_VALUE = "no value"
"""What stands for an error of an oracle, and for Unknown and Fault of ours: an oracle knows no difference."""

# --- the world: a record `r` whose fields may be missing ---


ITEM: dict[str, Type] = {"i": Int(), "b": Bool(), "s": Text()}
RECORD: dict[str, Type] = {
    "i1": Int(),
    "i2": Int(),
    "d1": Num(),
    "d2": Num(),
    "s1": Text(),
    "s2": Text(),
    "b1": Bool(),
    "b2": Bool(),
    "li": ListOf(Int()),
    "ld": ListOf(Num()),
    "ls": ListOf(Text()),
    "lr": ListOf(Ref("item")),
}
FIELDS = {"I": ("i1", "i2"), "D": ("d1", "d2"), "S": ("s1", "s2"), "B": ("b1", "b2")}
ITEM_FIELDS = {"I": "i", "S": "s", "B": "b"}


def _kind(name: str, fields: dict[str, Type]) -> KindSpec:
    return KindSpec(name, {entry: FieldSpec(entry, kind, entry) for entry, kind in fields.items()}, name)


ENVIRONMENT = Environment({"r": _kind("r", RECORD), "item": _kind("item", ITEM)}, {"r": Ref("r")})


class Sheet:
    """The record for this language; a field that the record lacks is unset."""

    __slots__ = (*RECORD, *ITEM)

    def __init__(self, record: dict[str, Any]) -> None:
        for name, value in record.items():
            if isinstance(value, list):
                value = tuple(Sheet(item) if isinstance(item, dict) else item for item in value)
            setattr(self, name, value)


INTS = st.one_of(
    st.integers(-4, 4), st.sampled_from([2**63 - 1, -(2**63), 2**62, -(2**62), 2**53 + 1, 3037000500, 10**18])
)
DOUBLES = st.one_of(
    st.sampled_from([0.0, -0.0, 1.0, -1.0, 0.5, 2.5, 3.0, 1e308, -1e308, 1e-300, 0.1, 1e19, -1e19]),
    st.floats(-100, 100, allow_nan=False, width=32),
)
TEXTS = st.sampled_from(["", "a", "b", "ab", "ba", "aba", "A", "é", "😀", "é😀a", " ", "10", "9", "~", "\uffff"])
VALUES = {"I": INTS, "D": DOUBLES, "S": TEXTS, "B": st.booleans()}
LISTS_OF = {"li": INTS, "ld": DOUBLES, "ls": TEXTS}


@st.composite
def records(draw: Any) -> dict[str, Any]:
    """A record in which every seventh field or so is missing."""
    fields = {name: VALUES[kind] for kind, names in FIELDS.items() for name in names}
    fields |= {name: st.lists(items, max_size=3) for name, items in LISTS_OF.items()}
    record = {name: draw(values) for name, values in fields.items() if draw(st.integers(0, 6))}
    if draw(st.integers(0, 6)):
        items = {name: VALUES[kind] for kind, name in ITEM_FIELDS.items()}
        count = draw(st.integers(0, 3))
        record["lr"] = [{name: draw(of) for name, of in items.items() if draw(st.integers(0, 6))} for _ in range(count)]
    return record


# --- the generator: well-typed expressions, with the templates used -----------------------------

ORDER = ("<", "<=", ">", ">=", "==", "!=")
# Templates by type of result; a capital letter in braces is an operand of that type, by its first letter;
# lists of them in lower case. `O` is any comparison sign, `@` a fresh variable of a macro.
TEMPLATES: dict[str, tuple[str, ...]] = {
    "B": (
        *("!({B})", "({B}) && ({B})", "({B}) || ({B})", "({B}) && ({B}) && ({B})", "({B}) || ({B}) || ({B})"),
        *("({B}) ? ({B}) : ({B})", "({I}) O ({I})", "({D}) O ({D})", "({S}) O ({S})", "({B}) O ({B})"),
        *("({I}) O ({D})", "({D}) O ({I})", "({I}) in {i}", "({S}) in {s}", "({D}) in {d}", "({I}) in {d}"),
        *("({S}).contains({S})", "({S}).startsWith({S})", "({S}).endsWith({S})", "{i} == {i}", "{s} != {s}"),
        *(
            "{d} == {d}",
            "{M}",
            "{M}",
            "{M}",
            "has(r.{F})",
            "{b}[({I})]",
            "({I}) % 2 == 0",
            "({I}) > 0 && 6 / ({I}) > 1",
        ),
        *(
            "{lB} && {lB} || {lB}",
            "{lB} || {lB} && {lB}",
            "!{lB} && {lB}",
            "{lI} + {lI} * {lI} < {lI} - {lI}",
        ),
        *("{lI} < {lI} == {lB}", "{lB} ? {lB} : {lB} || {lB}", "{lD} * {lD} - {lD} / {lD} <= {lD}"),
    ),
    "I": (
        *("({I}) + ({I})", "({I}) - ({I})", "({I}) * ({I})", "({I}) / ({I})", "({I}) % ({I})", "-({I})"),
        *(
            "({B}) ? ({I}) : ({I})",
            "size({S})",
            "({S}).size()",
            "size({i})",
            "{s}.size()",
            "int({D})",
            "{i}[({I})]",
        ),
        *(
            "{lI} - {lI} - {lI}",
            "{lI} / {lI} * {lI}",
            "{lI} % {lI} + {lI}",
            "-{vI} * {lI}",
            "int(string({I}))",
            "r.lr[({I})].i",
        ),
    ),
    "D": (
        *("({D}) + ({D})", "({D}) - ({D})", "({D}) * ({D})", "({D}) / ({D})", "-({D})", "double({I})"),
        *("({B}) ? ({D}) : ({D})", "{d}[({I})]", "{lD} - {lD} / {lD}"),
    ),
    "S": (
        "({S}) + ({S})",
        "({B}) ? ({S}) : ({S})",
        "string({I})",
        "string({B})",
        "{s}[({I})]",
        "string({S})",
    ),
    "i": ("[{I}, {I}]", "[{I}]", "({i} + {i})", "{i}.filter(@, {B})", "{i}.map(@, {I})", "{s}.map(@, {I})"),
    "d": ("[{D}, {D}]", "{d}.filter(@, {B})", "{i}.map(@, {D})"),
    "s": ("[{S}, {S}]", "{s}.filter(@, {B})", "{i}.map(@, {S})", "{r}.map(@, {S})"),
    "b": ("[{B}, {B}]", "{i}.map(@, {B})"),
    "r": ("r.lr", "r.lr.filter(@, {B})"),
    "M": (
        *(f"{{{kind}}}.{macro}(@, {{B}})" for kind in "isdrr" for macro in ("all", "exists", "exists_one")),
        *("{r}.exists(@, has(@.b) && ({B}))", "{r}.all(@, !has(@.i) || ({B}))", "{r}.exists_one(@, @.b)"),
    ),
}
LISTS = {
    "i": ("r.li", "[1, 2, 3]", "[0, 1]"),
    "d": ("r.ld", "[0.5, 2.5]"),
    "s": ("r.ls", '["a", "b"]'),
    "r": ("r.lr",),
}
LISTS["b"] = ("[true, false]",)
SLOT = re.compile(r"\{(l|v)?([A-Za-z])\}|@|(?<= )O(?= )")


@dataclass
class Generator:
    """One expression being made; `templates` are those used, which known faults of oracles depend on."""

    draw: Callable[[Any], Any]
    templates: set[str] = field(default_factory=set)
    macros: int = 0

    def make(self, kind: str, depth: int, scope: dict[str, str]) -> str:
        if kind not in "MF" and (depth <= 0 or self.draw(st.integers(0, 3)) == 0):
            return self.leaf(kind, scope)
        if kind == "F":
            return str(self.draw(st.sampled_from(sorted(RECORD))))
        return self.fill(self.draw(st.sampled_from(TEMPLATES[kind])), depth - 1, scope)

    def leaf(self, kind: str, scope: dict[str, str]) -> str:
        if kind in LISTS:
            return str(self.draw(st.sampled_from(LISTS[kind])))
        options = [f"r.{name}" for name in FIELDS[kind]]
        options += [f"{name}.{ITEM_FIELDS[kind]}" for name, of in scope.items() if of == "r" and kind in ITEM_FIELDS]
        options += [name for name, of in scope.items() if of == kind.lower()] * 2
        choice = self.draw(st.integers(0, len(options)))
        return options[choice] if choice < len(options) else literal(self.draw(VALUES[kind]))

    def fill(self, template: str, depth: int, scope: dict[str, str]) -> str:
        self.templates.add(template)
        macro = re.match(r"\{([a-z])\}\.\w+\(@", template)
        inner = scope
        name = f"x{len(scope)}"
        if macro:
            self.macros += 1
            inner = {**scope, name: macro[1]} if len(scope) < 3 else scope
        if "@" in template and len(scope) >= 3:
            return self.leaf_of(template, scope)

        def filled(found: re.Match[str]) -> str:
            if found[0] == "@":
                return name
            if found[0] == "O":
                return str(self.draw(st.sampled_from(ORDER)))
            if found[1] == "v":
                return f"r.{self.draw(st.sampled_from(FIELDS[found[2]]))}"
            if found[1] == "l":
                return self.leaf(found[2], scope)
            where = inner if macro and found.start() > 3 else scope
            return self.make(found[2], depth, where)

        return SLOT.sub(filled, template)

    def leaf_of(self, template: str, scope: dict[str, str]) -> str:
        """Where macros would stand too deep inside one another: something of the same type without one."""
        kind = next(kind for kind, templates in TEMPLATES.items() if template in templates)
        return "true" if kind == "M" else self.leaf(kind, scope)


def literal(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return repr(value) if "." in repr(value) or "e" in repr(value) else f"{value!r}.0"
    return f'"{value}"' if isinstance(value, str) else str(value)


@st.composite
def cases(draw: Any) -> tuple[str, set[str], dict[str, Any]]:
    generator = Generator(draw)
    kind = draw(st.sampled_from("BBBBBIDSis"))
    text = generator.make(kind, draw(st.integers(1, 4)), {})
    return text, generator.templates, draw(records())


# --- the oracles ---


def _plain(value: Any) -> Any:
    """A result in comparable form: exact type and value, signs of zero and NaN kept apart from equality."""
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    if isinstance(value, bool):
        return ("bool", value)
    if isinstance(value, float):
        return ("double", repr(float(value)))
    if isinstance(value, int):
        return ("int", int(value))
    return ("text", str(value)) if isinstance(value, str) else ("other", repr(value))


def ours(text: str, record: dict[str, Any]) -> Any:
    """The result of the exact evaluator, after the fast ones were seen to agree with it."""
    checked, sheet = check_expression(text, ENVIRONMENT), Sheet(record)
    exact = evaluate(checked, {"r": sheet})
    assert _same(evaluator(checked, ["r"])(sheet), exact)
    with contextlib.suppress(AttributeError, ArithmeticError, LookupError, TypeError, ValueError):
        assert _same(compile_expression(checked, ["r"])(sheet), exact)
    if checked.type == Bool():
        sweep = compile_sweep(None, checked, "r", {})([sheet])
        assert (sweep.passed, len(sweep.failed)) in ((1, 0), (0, 1), (0, 0))
        assert sweep.unsettled or sweep.passed == (exact is True)
    return NO_VALUE if isinstance(exact, Unknown | Fault) else _plain(exact)


def _same(left: Any, right: Any) -> bool:
    if isinstance(left, Unknown) and isinstance(right, Unknown):
        return [(id(s), f) for s, f in left.missing] == [(id(s), f) for s, f in right.missing]
    if isinstance(right, Unknown | Fault):
        return bool(left == right)
    return bool(_plain(left) == _plain(right))


def cpp(text: str, record: dict[str, Any]) -> Any:
    module = pytest.importorskip("cel_expr_python.cel")
    kind = module.Type
    environment = module.NewEnv(variables={"r": kind.Map(kind.STRING, kind.DYN)})
    value = environment.compile(text, disable_check=True).eval(data={"r": record})
    return NO_VALUE if value.type().name() == "ERROR" else _plain(value.plain_value())


def rust(text: str, record: dict[str, Any]) -> Any:
    module = pytest.importorskip("cel")
    try:
        return _plain(module.evaluate(text, {"r": record}))
    except (RuntimeError, TypeError, ValueError, ArithmeticError, LookupError):
        return NO_VALUE


def python(text: str, record: dict[str, Any]) -> Any:
    module = pytest.importorskip("celpy")
    environment = module.Environment()
    program = environment.program(environment.compile(text))
    try:
        return _from_celpy(program.evaluate({"r": _to_celpy(record, module.celtypes)}))
    except (module.CELEvalError, ValueError, TypeError, OverflowError):
        return NO_VALUE


def _to_celpy(value: Any, types: Any) -> Any:
    """With exact types: the conversion that comes with the oracle goes through JSON."""
    if isinstance(value, dict):
        return types.MapType({types.StringType(key): _to_celpy(item, types) for key, item in value.items()})
    if isinstance(value, list):
        return types.ListType([_to_celpy(item, types) for item in value])
    wrap = {bool: types.BoolType, int: types.IntType, float: types.DoubleType, str: types.StringType}
    return wrap[type(value)](value)


def _from_celpy(value: Any) -> Any:
    if type(value).__name__ == "BoolType":
        return ("bool", bool(value))
    return [_from_celpy(item) for item in value] if isinstance(value, list) else _plain(value)


ORACLES = {"cpp": cpp, "rust": rust, "python": python}


@dataclass(frozen=True)
class Difference:
    """One expression on which an oracle and this language differ."""

    text: str
    templates: set[str]
    record: dict[str, Any]
    theirs: Any

    def uses(self, *templates: str) -> bool:
        return not self.templates.isdisjoint(templates)

    @property
    def seen(self) -> str:
        return f"{self.text} {json.dumps(self.record, ensure_ascii=False)}"

    @property
    def has_great_number(self) -> bool:
        return any(len(digits) > 15 for digits in re.findall("[0-9]+", self.seen))

    @property
    def may_have_nan(self) -> bool:
        """A NaN comes only from 0/0 or from infinities, and those only from divisions and very great
        numbers.
        """
        return self.uses(*DOUBLE_COMPARISONS) and any(sign in self.seen for sign in ("/", "e+308", "1e308"))


MIXED = ("({I}) O ({D})", "({D}) O ({I})", "({I}) in {d}")
DOUBLE_COMPARISONS = (
    *("({D}) O ({D})", "{lD} * {lD} - {lD} / {lD} <= {lD}", "({D}) in {d}", "{d} == {d}"),
    *MIXED,
)
DOUBLE_DIVISIONS = ("({D}) / ({D})", "{lD} - {lD} / {lD}", "{lD} * {lD} - {lD} / {lD} <= {lD}")
COLLECTING_MACROS = tuple(
    template
    for templates in TEMPLATES.values()
    for template in templates
    if re.search(r"(exists_one|filter|map)\(@", template)
)
BOOL_TO_TEXT = "string({B})"


@dataclass(frozen=True)
class KnownFault:
    """What an oracle does wrong: why ours is right, when it applies, and an expression that shows it."""

    oracle: str
    reason: str
    applies: Callable[[Difference], bool]
    shown_by: str
    theirs: Any
    record: dict[str, Any] = field(default_factory=dict)


KNOWN_FAULTS: tuple[KnownFault, ...] = (
    KnownFault(
        "cpp",
        "rounds a whole number to compare it with a double; the specification has one number line",
        lambda found: found.uses(*MIXED) and found.has_great_number,
        "9007199254740993 > 9007199254740992.0",
        ("bool", False),
    ),
    KnownFault(
        "rust",
        "rounds a whole number to compare it with a double; the specification has one number line",
        lambda found: found.uses(*MIXED) and found.has_great_number,
        "9007199254740993 > 9007199254740992.0",
        ("bool", False),
    ),
    KnownFault(
        "rust",
        "the negative of the least whole number is itself; the specification has an overflow",
        lambda found: found.uses("-({I})", "-{vI} * {lI}") and str(-(2**63)) in found.seen,
        "-(-9223372036854775808)",
        ("int", -(2**63)),
    ),
    KnownFault(
        "rust",
        "has no string() of a truth value, which the specification lists",
        lambda found: found.uses(BOOL_TO_TEXT) and found.theirs == NO_VALUE,
        "string(true)",
        NO_VALUE,
    ),
    KnownFault(
        "rust",
        "size() of a text counts bytes; the specification says code points",
        lambda found: found.uses("size({S})", "({S}).size()") and not found.seen.isascii(),
        'size("é")',
        ("int", 2),
    ),
    KnownFault(
        "rust",
        "a NaN in an ordering is an error; by IEEE 754 every ordering with it is false",
        lambda found: found.may_have_nan and found.theirs == NO_VALUE,
        "0.0 / 0.0 < 1.0",
        NO_VALUE,
    ),
    KnownFault(
        "rust",
        "all() and exists() give up at the first item with an error, though a later item may decide",
        lambda found: found.uses(*TEMPLATES["M"]) and found.theirs == NO_VALUE,
        "[0, 1].exists(x, 1 / x == 1)",
        NO_VALUE,
    ),
    KnownFault(
        "python",
        "has no comparison of a whole number with a double, which the specification has",
        lambda found: found.uses(*MIXED) and found.theirs == NO_VALUE,
        "3 < 3.5",
        NO_VALUE,
    ),
    KnownFault(
        "python",
        "string() of a truth value has a capital letter",
        lambda found: found.uses(BOOL_TO_TEXT),
        "string(true)",
        ("text", "True"),
    ),
    KnownFault(
        "python",
        "a NaN equals itself and orders before and after numbers",
        lambda found: found.may_have_nan,
        "0.0 / 0.0 == 0.0 / 0.0",
        ("bool", True),
    ),
    KnownFault(
        "python",
        "a double divided by zero is infinite without regard to the signs; IEEE 754 has a sign",
        lambda found: found.uses(*DOUBLE_DIVISIONS),
        "-1.0 / 0.0",
        ("double", "inf"),
    ),
    KnownFault(
        "python",
        "an error inside exists_one(), filter() or map() is not absorbed by || and &&",
        lambda found: found.uses(*COLLECTING_MACROS) and found.theirs == NO_VALUE,
        "true || [0].exists_one(x, 1 / x == 1)",
        NO_VALUE,
    ),
    KnownFault(
        "python",
        "takes -2^63 as a double for a whole number; the conformance tests of the specification refuse it",
        lambda found: found.uses("int({D})") and found.has_great_number,
        "int(-9223372036854775808.0)",
        ("int", -(2**63)),
    ),
    KnownFault(
        "python",
        "joined texts lose their type, so that functions do not know them",
        lambda found: found.uses("({S}) + ({S})") and found.theirs == NO_VALUE,
        '("a" + "b").contains("a")',
        NO_VALUE,
    ),
    KnownFault(
        "python",
        "a negative place in a list counts from the end; the specification has an error there",
        lambda found: found.uses("{b}[({I})]", "{i}[({I})]", "{d}[({I})]", "{s}[({I})]", "r.lr[({I})].i"),
        "[1, 2][-1]",
        ("int", 2),
    ),
)


def differences(text: str, templates: set[str], record: dict[str, Any]) -> list[str]:
    mine, found = ours(text, record), []
    for name, oracle in ORACLES.items():
        theirs = oracle(text, record)
        difference = Difference(text, templates, record, theirs)
        if theirs != mine and not any(f.oracle == name and f.applies(difference) for f in KNOWN_FAULTS):
            found.append(f"{name}: {theirs}, ours: {mine}\n{text}\n{record}")
    return found


@pytest.mark.parametrize("fault", KNOWN_FAULTS, ids=lambda fault: f"{fault.oracle}: {fault.reason}")
def test_known_fault_is_still_there(fault: KnownFault) -> None:
    theirs = ORACLES[fault.oracle](fault.shown_by, fault.record)
    assert theirs == fault.theirs, "the oracle was mended: take the entry away"
    assert theirs != ours(fault.shown_by, fault.record)


@settings(
    max_examples=EXAMPLES,
    deadline=None,
    derandomize=not FULL,
    database=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(case=cases())
def test_generated_expressions_agree(case: tuple[str, set[str], dict[str, Any]]) -> None:
    assert not differences(*case)


PLAIN = yaml.safe_load((Path(__file__).parent / "plain.yaml").read_text(encoding="utf-8"))
SHARED = [tuple(case) for name, group in PLAIN.items() if name != "ours" for case in group["cases"]]


@pytest.mark.parametrize(("text", "expected"), SHARED)
def test_hand_written_results_are_those_of_the_strictest_oracle(text: str, expected: Any) -> None:
    """With its type check on, so that what we accept here is accepted there too."""
    module = pytest.importorskip("cel_expr_python.cel")
    value = module.NewEnv().compile(text).eval()
    theirs = NO_VALUE if value.type().name() == "ERROR" else _plain(value.plain_value())
    assert theirs == (NO_VALUE if isinstance(expected, dict) else _plain(expected))
