"""Which operation an operator or function means for given operand types, and what type comes out.

Pure decisions about types and units, used by `typing_check`; each raises `Mismatch` with what is wrong and
what would be right. Source: Common Expression Language specification, "Standard Definitions", less what is
left out; `min`, `max`, `abs`, `sum` and units are additions of this language.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from coaxwright.immutable import immutable
from coaxwright.language.syntax import Choice, ListLiteral, Literal, Node
from coaxwright.language.types import PLAIN, Bool, Int, ListOf, Nothing, Num, Ref, Text, Type, Unit
from coaxwright.reading.suggest import did_you_mean_or_listed

Path = tuple[str, ...]


@immutable
class Typed:
    """A resolved node with its type, its text, the paths it stands for, and those of its items if it is a
    list.
    """

    node: Node
    type: Type
    text: str
    origins: tuple[Path, ...] = ()
    items: tuple[Path, ...] = ()


class Mismatch(Exception):
    """Operands do not go together; becomes a `Problem` at `node`, or at the whole operation when None."""

    def __init__(self, what: str, right: str = "", node: Node | None = None) -> None:
        super().__init__(what)
        self.what, self.right, self.node = what, right, node


AS_LIMIT = "give the figure as a limit with unit and source"
_ARITHMETIC = {"+": "add", "-": "subtract", "*": "multiply", "/": "divide", "%": "modulo"}
_PARTICIPLES = {"+": "added", "-": "subtracted", "*": "multiplied", "/": "divided", "%": "divided"}
_ORDER = {"<": "less", "<=": "less_equal", ">": "greater", ">=": "greater_equal"}


def is_zero(operand: Typed) -> bool:
    """Whether the operand is the literal 0 or 0.0, which goes with any unit."""
    node = operand.node
    return isinstance(node, Literal) and isinstance(node.value, int | float) and _zero_number(node.value)


def _zero_number(value: bool | int | float) -> bool:
    return not isinstance(value, bool) and value == 0


def joined(left: Type, right: Type) -> Type | None:
    """The one type that both are, choices united; None when there is none."""
    match left, right:
        case Nothing(), _:
            return right
        case _, Nothing():
            return left
        case Text(), Text():
            both = left.choices is not None and right.choices is not None
            return Text((left.choices or frozenset()) | (right.choices or frozenset()) if both else None)
        case ListOf(), ListOf():
            item = joined(left.item, right.item)
            return None if item is None else ListOf(item)
    return left if left == right else None


def joined_operands(operands: list[Typed], where: str) -> Type:
    """The one type of list items, branches or arguments; the literal 0.0 takes the unit of the others."""
    result: Type = Nothing()
    for operand in sorted(operands, key=is_zero):
        zero = is_zero(operand) and isinstance(operand.type, Num) and isinstance(result, Num)
        together = result if zero else joined(result, operand.type)
        if together is None:
            first = next(entry for entry in operands if not isinstance(entry.type, Nothing))
            raise Mismatch(*_disagreement(where, first, operand, result), operand.node)
        result = together
    return result


def _disagreement(where: str, first: Typed, other: Typed, result: Type) -> tuple[str, str]:
    what = f"{where} must agree: `{first.text}` is {result}, `{other.text}` is {other.type}"
    mixed = {type(result), type(other.type)} == {Int, Num}
    return what, _as_double(first if isinstance(first.type, Int) else other) if mixed else ""


def _as_double(operand: Typed) -> str:
    if isinstance(operand.node, Literal):
        return f"write {operand.node.value}.0"
    return f"write double({operand.text})"


def nothing_inside(operand: Typed) -> bool:
    """Whether the operand is a list that never has an item."""
    return isinstance(operand.type, ListOf) and isinstance(operand.type.item, Nothing)


def unary(sign: str, operand: Typed) -> tuple[str, Type]:
    """Operation and type of `!x` or `-x`."""
    match sign, operand.type:
        case "!", Bool():
            return "not", Bool()
        case "-", Int():
            return "negate_int", Int()
        case "-", Num():
            return "negate_double", operand.type
    needed = "true/false" if sign == "!" else "a number"
    raise Mismatch(f"`{sign}` needs {needed}; `{operand.text}` is {operand.type}")


def binary(sign: str, left: Typed, right: Typed) -> tuple[str, Type]:
    """Operation and type of a binary operator."""
    if sign in _ARITHMETIC:
        return _arithmetic(sign, left, right)
    if sign in _ORDER:
        return _order(sign, left, right)
    if sign == "in":
        return _membership(left, right)
    _must_compare(left, right)
    name = {"==": "equal", "!=": "not_equal"}[sign]
    return name + _equality_suffix(left, right), Bool()


def _arithmetic(sign: str, left: Typed, right: Typed) -> tuple[str, Type]:
    name = _ARITHMETIC[sign]
    match left.type, right.type:
        case Int(), Int():
            return f"{name}_int", Int()
        case Num(), Num() if sign != "%":
            return f"{name}_double", Num(_unit_of_result(sign, left, right))
        case (Int(), Num()) | (Num(), Int()):
            whole = left if isinstance(left.type, Int) else right
            what = f"`{sign}` does not mix a whole number with a double (`{whole.text}` is a whole number)"
            raise Mismatch(
                what if sign != "%" else "`%` is for whole numbers", _as_double(whole) * (sign != "%")
            )
        case Text(), Text() if sign == "+":
            return "add_text", Text()
        case ListOf(), ListOf() if sign == "+":
            return "add_list", joined_operands([left, right], "joined lists")
    if isinstance(left.type, Num) and isinstance(right.type, Num):
        raise Mismatch("`%` is for whole numbers", "write int(...) around plain numbers")
    raise Mismatch(
        f"`{left.text}` is {left.type} and `{right.text}` {right.type}: they cannot be {_PARTICIPLES[sign]}"
    )


def _unit_of_result(sign: str, left: Typed, right: Typed) -> Unit:
    units = _unit(left), _unit(right)
    if sign == "*":
        return units[0] * units[1]
    if sign == "/":
        return units[0] / units[1]
    _must_share_unit(left, right, f"they cannot be {_PARTICIPLES[sign]}")
    return units[1] if is_zero(left) else units[0]


def _unit(operand: Typed) -> Unit:
    return operand.type.unit if isinstance(operand.type, Num) else PLAIN


def _must_share_unit(left: Typed, right: Typed, so: str) -> None:
    units = _unit(left), _unit(right)
    if units[0] == units[1] or is_zero(left) or is_zero(right):
        return
    named = [f"in {unit}" if unit.powers else "without unit" for unit in units]
    bare = any(not unit.powers for unit in units)
    what = f"`{left.text}` is {named[0]} and `{right.text}` {named[1]}: {so}"
    raise Mismatch(what, AS_LIMIT if bare else "")


def _order(sign: str, left: Typed, right: Typed) -> tuple[str, Type]:
    match left.type, right.type:
        case ((Int() | Num()), (Int() | Num())):
            _must_share_unit(left, right, "they cannot be compared")
        case (Text(), Text()) | (Bool(), Bool()):
            pass
        case Bool(), (Int() | Num()):
            right_form = f"write `a {sign} b && b {sign} c` for a range"
            raise Mismatch(
                f"`{left.text}` is true/false and `{right.text}` {right.type}: no order", right_form
            )
        case _:
            raise Mismatch(
                f"`{left.text}` is {left.type} and `{right.text}` {right.type}: no order between them"
            )
    return _ORDER[sign], Bool()


def _must_compare(left: Typed, right: Typed) -> None:
    match left.type, right.type:
        case ((Int() | Num()), (Int() | Num())):
            _must_share_unit(left, right, "they cannot be compared")
            return
        case Text(), Text():
            _must_have_common_choice(left, right)
            return
    if joined(left.type, right.type) is None:
        raise Mismatch(f"`{left.text}` is {left.type} and `{right.text}` {right.type}: they are never equal")
    if _holds_sheets(left.type) or _holds_sheets(right.type):
        raise Mismatch(
            "lists of sheets cannot be compared", "compare a field of each, with all() or exists()"
        )


def _holds_sheets(kind: Type) -> bool:
    return isinstance(kind, ListOf) and (isinstance(kind.item, Ref) or _holds_sheets(kind.item))


def _equality_suffix(left: Typed, right: Typed) -> str:
    kinds = (left.type, right.type)
    if any(isinstance(kind, ListOf) for kind in kinds):
        return "_list"
    return "_sheet" if any(isinstance(kind, Ref) for kind in kinds) else ""


def _must_have_common_choice(left: Typed, right: Typed) -> None:
    choices = [operand.type.choices if isinstance(operand.type, Text) else None for operand in (left, right)]
    for allowed, one, other in ((choices[0], left, right), (choices[1], right, left)):
        if allowed is not None:
            _must_be_choices(other.node, one.text, allowed)
    if choices[0] is not None and choices[1] is not None and choices[0].isdisjoint(choices[1]):
        raise Mismatch(f"`{left.text}` and `{right.text}` have no value in common: they are never equal")


def _must_be_choices(node: Node, text: str, choices: frozenset[str]) -> None:
    for literal in literal_texts(node):
        if literal.value not in choices:
            what = f"`{text}` is never '{literal.value}'"
            raise Mismatch(what, did_you_mean_or_listed(str(literal.value), choices), literal)


def literal_texts(node: Node) -> Iterator[Literal]:
    """The text literals that a node may turn out to be: itself, a branch of a choice, an item of a list."""
    match node:
        case Literal() if isinstance(node.value, str):
            yield node
        case Choice():
            yield from literal_texts(node.then)
            yield from literal_texts(node.otherwise)
        case ListLiteral():
            for item in node.items:
                yield from literal_texts(item)


def _membership(left: Typed, right: Typed) -> tuple[str, Type]:
    if not isinstance(right.type, ListOf):
        hint = f"write {right.text}.contains({left.text})" if isinstance(right.type, Text) else ""
        raise Mismatch(f"`in` needs a list; `{right.text}` is {right.type}", hint)
    item = Typed(right.node, right.type.item, right.text)
    if isinstance(right.type.item, ListOf) or isinstance(left.type, ListOf):
        raise Mismatch("`in` does not look for lists in lists", "use exists()")
    zeros = isinstance(right.node, ListLiteral) and all(_is_zero_node(entry) for entry in right.node.items)
    if not (zeros and isinstance(left.type, Int | Num) and isinstance(item.type, Int | Num)):
        _must_compare(left, item)
    if isinstance(left.type, Ref):
        return "in_sheets", Bool()
    return "in_doubles" if isinstance(left.type, Num) or isinstance(item.type, Num) else "in", Bool()


def _is_zero_node(node: Node) -> bool:
    return isinstance(node, Literal) and isinstance(node.value, int | float) and _zero_number(node.value)


def call(name: str, arguments: list[Typed]) -> tuple[str, Type]:
    """Operation and type of a call of a known function."""
    return _CALLS[name](name, arguments)


def _one(name: str, arguments: list[Typed]) -> Typed:
    if len(arguments) != 1:
        raise Mismatch(f"`{name}` takes one value, not {len(arguments)}")
    return arguments[0]


def _cannot(name: str, value: Typed, needs: str) -> Mismatch:
    return Mismatch(f"`{name}` needs {needs}; `{value.text}` is {value.type}")


def _size(name: str, arguments: list[Typed]) -> tuple[str, Type]:
    value = _one(name, arguments)
    if not isinstance(value.type, Text | ListOf):
        raise _cannot(name, value, "text or a list")
    return "size", Int()


def _text_test(name: str, arguments: list[Typed]) -> tuple[str, Type]:
    if len(arguments) != 2:
        raise Mismatch(f"`{name}` takes one text in its brackets", f"write text.{name}('part')")
    for value in arguments:
        if not isinstance(value.type, Text):
            hint = f"write {arguments[1].text} in {value.text}" if isinstance(value.type, ListOf) else ""
            raise Mismatch(f"`{name}` needs text; `{value.text}` is {value.type}", hint, value.node)
    return {"contains": "contains", "startsWith": "starts_with", "endsWith": "ends_with"}[name], Bool()


_CONVERSIONS: Mapping[str, tuple[Type, Mapping[type, str]]] = {
    "int": (Int(), {Int: "itself", Num: "int_of_double", Text: "int_of_text"}),
    "double": (Num(), {Num: "itself", Int: "double_of_int", Text: "double_of_text"}),
    "string": (Text(), {Text: "itself", Int: "text_of_int", Num: "text_of_double", Bool: "text_of_bool"}),
}


def _conversion(name: str, arguments: list[Typed]) -> tuple[str, Type]:
    value = _one(name, arguments)
    result, operations = _CONVERSIONS[name]
    if isinstance(value.type, Num) and value.type.unit.powers:
        right = f"divide `{value.text}` by a limit in {value.type.unit} first"
        raise Mismatch(f"`{name}` would lose the unit {value.type.unit} of `{value.text}`", right)
    if type(value.type) not in operations:
        raise _cannot(name, value, {"string": "a number, true/false or text"}.get(name, "a number or text"))
    return operations[type(value.type)], result


def _extreme(name: str, arguments: list[Typed]) -> tuple[str, Type]:
    stem = {"min": "least", "max": "greatest"}[name]
    if not arguments:
        raise Mismatch(f"`{name}` needs at least one number")
    if len(arguments) == 1 and isinstance(arguments[0].type, ListOf):
        return f"{stem}_of_list", _number_item(name, arguments[0])
    result = joined_operands(arguments, f"the numbers of `{name}`")
    if not isinstance(result, Int | Num):
        raise _cannot(name, arguments[0], "numbers")
    return stem, result


def _number_item(name: str, value: Typed) -> Type:
    item = value.type.item if isinstance(value.type, ListOf) else value.type
    if isinstance(item, Nothing):
        return Int()
    if not isinstance(item, Int | Num):
        raise _cannot(name, value, "a list of numbers")
    return item


def _magnitude(name: str, arguments: list[Typed]) -> tuple[str, Type]:
    value = _one(name, arguments)
    if not isinstance(value.type, Int | Num):
        raise _cannot(name, value, "a number")
    return ("abs_int" if isinstance(value.type, Int) else "abs_double"), value.type


def _total(name: str, arguments: list[Typed]) -> tuple[str, Type]:
    value = _one(name, arguments)
    if not isinstance(value.type, ListOf):
        raise _cannot(name, value, "a list of numbers")
    item = _number_item(name, value)
    return ("sum_int" if isinstance(item, Int) else "sum_double"), item


def _measured(name: str, value: Typed) -> Unit:
    if not isinstance(value.type, Num):
        raise _cannot(name, value, "a plain number")
    return value.type.unit


def _square(name: str, arguments: list[Typed]) -> tuple[str, Type]:
    unit = _measured(name, _one(name, arguments))
    return "square", Num(unit * unit)


def _root(name: str, arguments: list[Typed]) -> tuple[str, Type]:
    value = _one(name, arguments)
    unit = _measured(name, value).root()
    if unit is None:
        raise Mismatch(f"`{value.text}` is {value.type}: the unit has no square root")
    return "sqrt", Num(unit)


def _power(name: str, arguments: list[Typed]) -> tuple[str, Type]:
    if len(arguments) != 2:
        raise Mismatch(f"`{name}` takes two values, not {len(arguments)}")
    for value in arguments:
        if _measured(name, value).powers:
            raise Mismatch(f"`{name}` needs a number without unit; `{value.text}` is {value.type}", "", value.node)
    return "pow", Num()


def _long_side(name: str, arguments: list[Typed]) -> tuple[str, Type]:
    if len(arguments) != 2:
        raise Mismatch(f"`{name}` takes two values, not {len(arguments)}")
    result = joined_operands(arguments, f"the sides of `{name}`")
    if not isinstance(result, Num):
        raise _cannot(name, arguments[0], "plain numbers")
    return "hypot", result


DEGREES = Unit.parse("deg")


def _angle(name: str, arguments: list[Typed]) -> tuple[str, Type]:
    value = _one(name, arguments)
    needed, result = (PLAIN, DEGREES) if name == "atan" else (DEGREES, PLAIN)
    if _measured(name, value) != needed:
        raise _cannot(name, value, str(Num(needed)))
    return name, Num(result)


_CALLS: Mapping[str, Callable[[str, list[Typed]], tuple[str, Type]]] = {
    "size": _size,
    "contains": _text_test,
    "startsWith": _text_test,
    "endsWith": _text_test,
    "int": _conversion,
    "double": _conversion,
    "string": _conversion,
    "min": _extreme,
    "max": _extreme,
    "abs": _magnitude,
    "sum": _total,
    "square": _square,
    "sqrt": _root,
    "pow": _power,
    "hypot": _long_side,
    "atan": _angle,
    "tan": _angle,
}
