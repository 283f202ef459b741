"""Plain dicts and lists from YAML events, with the place of every node kept in three flat arrays.

Anchors, aliases, tags, merge keys, duplicate keys, keys that are no text and further documents are refused
here, because no later room can see them. Not here: the choice of parser (`yaml_events`), encodings and
sizes (`yaml_source`), the words for syntax errors (`yaml_syntax`).

This is the hot path of reading: a camera has some fifty events, so names are bound to locals first.
Events are of several classes without a common interface, hence `Placed`.
"""

from __future__ import annotations

import re
from array import array
from typing import Any, NoReturn, Protocol

from yaml.events import (
    DocumentEndEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from coaxwright.errors import Problem, Refusal
from coaxwright.model.quantities import quoted
from coaxwright.reading.positions import HIDDEN, Positions
from coaxwright.reading.yaml_scalars import Names, Resolved, Scalar, ScalarRefusal

MAX_DEPTH = 64
MAX_NODES = 16_000_000
MAX_PROBLEMS = 50
_HIDDEN = re.compile(f"[\r{HIDDEN}]")

Value = Scalar | dict[str, Any] | list[Any]


class EventSource(Protocol):
    """What both YAML parsers offer."""

    def get_event(self) -> Event | None:
        """The next event."""
        ...


class Placed(Protocol):
    """Any event: it has a place in the text."""

    start_mark: Any
    end_mark: Any


class Tree:
    """Where the nodes of one document stand: by node number in document order (keys are nodes too).

    `starts` and `ends` are character offsets; a block collection ends with its last node.
    `after` is the number of the node that follows a collection and all that it holds; 0 for a scalar.
    """

    __slots__ = ("after", "ends", "starts")

    def __init__(self) -> None:
        self.starts = array("I")
        self.ends = array("I")
        self.after = array("I")

    def next_node(self, node: int) -> int:
        """The number of the node behind this one and all that it holds."""
        return self.after[node] or node + 1

    def entries(self, node: int, count: int, step: int) -> list[int]:
        """Numbers of the first nodes of `count` entries: `step` 2 for keys and values, 1 for list items."""
        numbers = []
        child = node + 1
        for _ in range(count):
            numbers.append(child)
            child = self.next_node(child + step - 1)
        return numbers

    def extent(self, node: int) -> tuple[int, int]:
        """Start and end offset of a node."""
        start = self.starts[node]
        return start, max(self.ends[node], start)


class Builder:
    """Builds one document. `problems` collects what is refused; only syntax errors and limits are raised."""

    def __init__(self, source: EventSource, file: str, positions: Positions) -> None:
        self._get: Any = source.get_event
        self._file = file
        self._positions = positions
        self._resolved = Resolved()
        self._names = Names()
        self._written_end = 0
        self.tree = Tree()
        self.problems: list[Problem] = []

    def build(self) -> Value:
        """The value of the only document. Raises Refusal if there is none or a second one, and at a limit."""
        self._get()
        event = self._get()
        if isinstance(event, StreamEndEvent):
            self._stop(event, "the file is empty", "write at least one key, as in `site: NAME`")
        if isinstance(event, DocumentStartEvent) and event.tags:
            self._note(event, "`%TAG` directives are not used here", "remove the line")
        value = self._value(self._get(), 0)
        self._finish()
        return value

    def _finish(self) -> None:
        event = self._get()
        if isinstance(event, DocumentEndEvent):
            event = self._get()
        if not isinstance(event, StreamEndEvent):
            self._stop(event, "a second document starts here", "keep one document in a file")

    def _value(self, event: Any, depth: int) -> Value:
        """Any node."""
        kind = type(event)
        if kind is MappingStartEvent:
            return self._mapping(event, depth)
        if kind is SequenceStartEvent:
            return self._sequence(event, depth)
        if kind is ScalarEvent:
            return self._scalar(event)
        self._mark(event)
        self._note(event, f"the alias `*{event.anchor}` is not used here", "write the value out")
        return None

    def _mapping(self, opening: MappingStartEvent, depth: int) -> dict[str, Any]:
        node = self._open(opening, depth)
        get, names, resolved = self._get, self._names, self._resolved
        start, end, after = self.tree.starts.append, self.tree.ends.append, self.tree.after.append
        result: dict[str, Any] = {}
        while True:
            event = get()
            kind = type(event)
            if kind is MappingEndEvent:
                break
            if kind is ScalarEvent and event.implicit[0] and event.tag is None and event.anchor is None:
                start(event.start_mark.index)
                end(event.end_mark.index)
                after(0)
                key = names[event.value]
            else:
                key = self._odd_key(event, depth)
            if key is None or key in result:
                key = self._refused_key(event, result, node)
            event = get()
            kind = type(event)
            if kind is ScalarEvent and event.implicit[0] and event.tag is None and event.anchor is None:
                start(event.start_mark.index)
                end(event.end_mark.index)
                after(0)
                try:
                    result[key] = resolved[event.value]
                except ScalarRefusal as refusal:
                    result[key] = None
                    self._note(event, refusal.what, refusal.right)
            else:
                result[key] = self._value(event, depth + 1)
        self._close(event, node)
        return result

    def _sequence(self, opening: SequenceStartEvent, depth: int) -> list[Any]:
        node = self._open(opening, depth)
        get, value = self._get, self._value
        result = []
        while True:
            event = get()
            if type(event) is SequenceEndEvent:
                break
            result.append(value(event, depth + 1))
        self._close(event, node)
        return result

    def _scalar(self, event: ScalarEvent) -> Scalar:
        self._mark(event)
        self._check_node(event)
        text: str = event.value
        if not event.implicit[0]:
            self._check_visible(event, text)
            return text
        try:
            return self._resolved[text]
        except ScalarRefusal as refusal:
            self._note(event, refusal.what, refusal.right)
            return None

    # Places.

    def _mark(self, event: Placed) -> int:
        tree = self.tree
        tree.starts.append(event.start_mark.index)
        tree.ends.append(event.end_mark.index)
        tree.after.append(0)
        return len(tree.starts) - 1

    def _open(self, event: MappingStartEvent | SequenceStartEvent, depth: int) -> int:
        node = self._mark(event)
        self._check_node(event)
        if depth >= MAX_DEPTH:
            self._stop(event, f"the nesting is more than {MAX_DEPTH} levels deep", "nest less")
        if node > MAX_NODES:
            self._stop(event, f"the file holds more than {MAX_NODES} values", "split it")
        return node

    def _close(self, event: Placed, node: int) -> None:
        """Where a collection ends: at its bracket, or else with the bracket or node last met before."""
        tree, end = self.tree, event.end_mark.index
        if end > event.start_mark.index:
            self._written_end = end
        else:
            end = max(tree.ends[-1], self._written_end)
        tree.ends[node] = end
        tree.after[node] = len(tree.starts)

    # What is refused.

    def _check_node(self, event: MappingStartEvent | ScalarEvent | SequenceStartEvent) -> None:
        if event.anchor is not None:
            self._note(event, f"the anchor `&{event.anchor}` is not used here", "remove it; write values out")
        if event.tag is not None:
            tag = event.tag.replace("tag:yaml.org,2002:", "!!")
            self._note(event, f"the tag {quoted(tag)} is not used here", "remove it; values need no tags")

    def _check_visible(self, event: ScalarEvent, text: str) -> None:
        hidden = _HIDDEN.search(text)
        if hidden:
            what = f"the text holds the invisible character U+{ord(hidden[0]):04X}"
            self._note(event, what, "remove it; control and direction characters are refused")

    def _odd_key(self, event: MappingStartEvent | ScalarEvent | SequenceStartEvent, depth: int) -> str | None:
        """A key with an anchor or tag, or one that is no scalar at all."""
        if type(event) is ScalarEvent:
            self._scalar(event)
            return self._names[event.value]
        node = len(self.tree.starts)
        self._value(event, depth + 1)
        self._note(event, "a key must be a text, not a list, group or alias", "write it as `key: value`")
        return f"\0{node}"

    def _refused_key(self, event: ScalarEvent, result: dict[str, Any], node: int) -> str:
        """Note what is wrong with a key; a stand-in keeps the entries in step with their places."""
        name = event.value if type(event) is ScalarEvent else ""
        if name == "<<":
            self._note(event, "the merge key `<<` is not used here", "write the keys out")
        elif not name:
            self._note(event, "a key is missing before the `:`", "write it as `key: value`")
        else:
            nth = list(result).index(name)
            first = self.tree.entries(node, nth + 1, 2)[-1]
            line, column = self._positions.line_column(self.tree.starts[first])
            what = f"the key {quoted(name)} is written twice, first at {line}:{column}"
            self._note(event, what, "keep one of the two, or rename one")
        return f"\0{len(self.tree.starts)}"

    def _note(self, event: Placed, what: str, right: str) -> None:
        span = self._positions.span(event.start_mark.index, event.end_mark.index)
        self.problems.append(Problem(self._file, what, right, span))
        if len(self.problems) >= MAX_PROBLEMS:
            raise Refusal(self.problems)

    def _stop(self, event: Placed, what: str, right: str) -> NoReturn:
        span = self._positions.span(event.start_mark.index, event.end_mark.index)
        raise Refusal([*self.problems, Problem(self._file, what, right, span)])
