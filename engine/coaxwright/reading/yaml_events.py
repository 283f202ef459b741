"""The YAML parser in use: libyaml's where PyYAML was built with it, the one in Python otherwise."""

from __future__ import annotations

import yaml
from yaml.parser import Parser
from yaml.reader import Reader
from yaml.scanner import Scanner

from coaxwright.reading.yaml_builder import EventSource


class PythonParser(Reader, Scanner, Parser):
    """PyYAML's parser in Python, without its constructor and resolver."""

    def __init__(self, text: str) -> None:
        Reader.__init__(self, text)
        Scanner.__init__(self)
        Parser.__init__(self)


def event_source(text: str) -> EventSource:
    """A parser of this text. The text must hold no characters that YAML forbids."""
    if yaml.__with_libyaml__:
        from yaml._yaml import CParser

        return CParser(text)
    return PythonParser(text)
