"""Commands that show examples before anything else, and groups that load a command only when it is called."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from importlib import import_module
from typing import Any

import click


class Exampled(click.Command):
    """A command whose help begins with examples of how it is called."""

    def __init__(self, *args: Any, examples: Sequence[str] = (), **kwargs: Any) -> None:
        kwargs.setdefault("context_settings", {"help_option_names": ["-h", "--help"]})
        super().__init__(*args, **kwargs)
        self.examples = tuple(examples)

    def format_help(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write examples, then what click writes."""
        write_examples(self.examples, formatter)
        super().format_help(ctx, formatter)


def write_examples(examples: Sequence[str], formatter: click.HelpFormatter) -> None:
    """Write the example calls, unwrapped so that they can be copied."""
    if examples:
        formatter.write("Examples:\n")
        for example in examples:
            formatter.write(f"  {example}\n")
        formatter.write("\n")


def in_sections(table: Mapping[str, Any], sections: Mapping[str, Sequence[str]]) -> dict[str, list[str]]:
    """Headings with those of their names that the table has; names under no heading come last, under `Commands`."""
    placed = {name for names in sections.values() for name in names}
    found = {heading: [name for name in names if name in table] for heading, names in sections.items()}
    rest = [name for name in table if name not in placed]
    return {heading: names for heading, names in (*found.items(), ("Commands", rest)) if names}


class LazyGroup(click.Group):
    """A group that knows its commands by name, module and one line of help, and imports them when called.

    `table` maps a name to (`module:attribute`, help line); `sections` are headings with the names below them, and what
    stands under none of them is listed last.
    """

    def __init__(
        self, *args: Any, table: Mapping[str, tuple[str, str]], examples: Sequence[str] = (),
        sections: Mapping[str, Sequence[str]] | None = None, **kwargs: Any,
    ) -> None:  # fmt: skip
        kwargs.setdefault("context_settings", {"help_option_names": ["-h", "--help"]})
        super().__init__(*args, **kwargs)
        self.table = table
        self.sections = in_sections(table, sections or {})
        self.examples = tuple(examples)

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in the order of the table: the everyday ones first."""
        return list(self.table)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import and return a command; None when there is none of that name."""
        if cmd_name not in self.table:
            return None
        module, _, attribute = self.table[cmd_name][0].partition(":")
        command: click.Command = getattr(import_module(module), attribute)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command; a name that is not known is answered with the one that was perhaps meant."""
        if args and not args[0].startswith("-") and args[0] not in self.table:
            raise click.UsageError(f"there is no command `{args[0]}`{self._hint(args[0])}", ctx)
        return super().resolve_command(ctx, args)

    def _hint(self, name: str) -> str:
        from coaxwright.reading.suggest import did_you_mean

        return f"; {did_you_mean(name, self.table) or 'there are: ' + ', '.join(self.table)}"

    def format_help(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write examples, then what click writes."""
        write_examples(self.examples, formatter)
        super().format_help(ctx, formatter)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without importing any."""
        for heading, names in self.sections.items():
            with formatter.section(heading):
                formatter.write_dl([(name, self.table[name][1]) for name in names])
