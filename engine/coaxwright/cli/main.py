"""The command line: finds the command, runs it, turns whatever happens into an exit status and plain words."""

from __future__ import annotations

import os
from collections.abc import Sequence

import click

from coaxwright import __version__
from coaxwright.cli.exits import CLEAN, INTERRUPTED, UNCHECKED
from coaxwright.cli.groups import LazyGroup, in_sections
from coaxwright.cli.output import complain, print_problems, warnings_told
from coaxwright.cli.progress import progress
from coaxwright.errors import Refusal
from coaxwright.interruptions import told_of_interruption

_COMMANDS = {
    "new": ("coaxwright.cli.new:new", "Write a first site file from a few answers."),
    "check": ("coaxwright.cli.check:check", "Check sites: what fails, why, and what would mend it."),
    "estate": ("coaxwright.cli.estate:estate", "Many sites on one page: commonest faults, worst sites, what changed."),
    "report": ("coaxwright.cli.report:report", "Write a report on sites as a page to send or print."),
    "explain": (
        "coaxwright.cli.explain:explain",
        "Why a rule exists, or how the numbers of a subject came about.",
    ),
    "fix": ("coaxwright.cli.fix:fix", "Changes proven to clear what fails; write them, take them back."),
    "limits": ("coaxwright.cli.limits:limits", "How far each number of a subject can move before a rule fails."),
    "diagnose": ("coaxwright.cli.diagnose:diagnose", "What could cause what is seen on a site, and what to measure next."),
    "what-if": ("coaxwright.cli.what_if:what_if", "What would change if something were set otherwise."),
    "compare": ("coaxwright.cli.compare:compare", "What changed between two versions of a site."),
    "pack": ("coaxwright.cli.pack:pack", "Write the sheets of the hand-over: cables, labels, bill, commissioning ..."),
    "propose": ("coaxwright.cli.propose:propose", "Make a whole system from wants, distances and priced parts."),
    "pair": ("coaxwright.cli.pair:pair", "Tell whether a camera works on a recorder, how, and why."),
    "kit": ("coaxwright.cli.kit:kit", "Prove that a kit works as a system, and up to which run length."),
    "desk": ("coaxwright.cli.desk:desk", "The page on this machine: a site to edit, with its verdict."),
    "editor": ("coaxwright.cli.editor:editor", "Serve an editor: verdicts, completion, proven changes while typing."),
    "rules": ("coaxwright.cli.rules:rules", "List the rules, run their cases, write their pages."),
    "parts": ("coaxwright.cli.parts:parts", "List the known parts, or show one."),
    "catalogue": ("coaxwright.cli.catalogue:catalogue", "Search the catalogue, check it, lay price lists over it."),
    "schedule": ("coaxwright.cli.schedule:schedule", "Camera schedules from spreadsheets, and back."),
    "schema": ("coaxwright.cli.schema:schema", "Print the JSON Schema of a kind of file, for editors."),
    "quiz": ("coaxwright.cli.quiz:quiz", "Make question papers with computed keys; mark what comes back."),
    "course": ("coaxwright.cli.course:course", "Exams, practice, lessons, guided diagnosis for a course."),
    "demo": ("coaxwright.cli.demo:demo", "Check the example that comes with the program."),
}

_SECTIONS = {
    "A site": ("check", "estate", "report", "explain", "fix", "limits", "what-if", "compare", "diagnose"),
    "A new system": ("new", "propose", "pack", "schedule", "desk", "editor"),
    "Devices": ("pair", "kit", "parts", "catalogue"),
    "Teaching": ("quiz", "course"),
    "The program": ("demo", "rules", "schema"),
}


def _tell_version(context: click.Context, option: click.Parameter, wanted: bool) -> None:
    """The version, and the digest of the program's own rules: what `tool.rulebook` of a report says without `--rules`."""
    if wanted and not context.resilient_parsing:
        from coaxwright.checking import load_rulebook

        click.echo(f"coaxwright {__version__}")
        click.echo(f"rules {load_rulebook().digest}")
        context.exit()


@click.group(
    cls=LazyGroup,
    table=_COMMANDS,
    sections=_SECTIONS,
    examples=(
        "coaxwright demo",
        "coaxwright check boatyard.site.yaml",
        "coaxwright explain power/undervoltage",
    ),
    epilog="`coaxwright COMMAND --help` tells more about a command.",
    no_args_is_help=False,
    invoke_without_command=True,
)
@click.option("--version", is_flag=True, is_eager=True, expose_value=False, callback=_tell_version,
              help="Show the version and the digest of the rules, and exit.")  # fmt: skip
@click.pass_context
def group(context: click.Context) -> None:
    """Will these cameras, this recorder, these cables, disks and supplies really work together?

    Checks analog-HD video security systems over coax before anything is bought.
    """
    if context.invoked_subcommand is None:
        click.echo(_in_short())


def _in_short() -> str:
    """What a bare call says: what this is, how to begin, every command by its name under what it is for."""
    sections = in_sections(_COMMANDS, _SECTIONS)
    width = max(map(len, sections))
    names = [f"  {heading:{width}}  {', '.join(listed)}" for heading, listed in sections.items()]
    begin = ["", "  coaxwright demo", "  coaxwright check boatyard.site.yaml", ""]
    what = "Coaxwright: will these cameras, recorders, cables, disks and supplies really work together?"
    tells = "`coaxwright --help` says what each command does, `coaxwright COMMAND --help` how it is called."
    return "\n".join([what, *begin, *names, "", tells])


def run(args: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit status; nothing that a user can cause is raised."""
    try:
        with progress(), warnings_told():
            status = group.main(args, prog_name="coaxwright", standalone_mode=False)
        return status if isinstance(status, int) else CLEAN
    except click.UsageError as error:
        _complain_of_call(error)
    except click.ClickException as error:
        complain(f"coaxwright: {error.format_message()}")
    except Refusal as refusal:
        print_problems(refusal)
    except OSError as error:
        complain(f"coaxwright: {error.filename or 'input or output'}: {error.strerror or error}")
    except (Exception, KeyboardInterrupt) as error:  # noqa: BLE001 - whatever is left is our fault, in one line
        if told_of_interruption(KeyboardInterrupt() if isinstance(error, click.Abort) else error):
            return INTERRUPTED
        _report_internal_error(error)
    return UNCHECKED


def _complain_of_call(error: click.UsageError) -> None:
    command = error.ctx.command_path if error.ctx else "coaxwright"
    complain(f"{command}: {error.format_message()}")
    complain(f"`{command} --help` shows how it is called.")


def _report_internal_error(error: BaseException) -> None:
    """One line about a fault of the program itself; the traceback only for who asks for it."""
    if os.environ.get("COAXWRIGHT_TRACEBACK"):
        import traceback

        traceback.print_exc()
    complain(
        f"coaxwright: a fault in the program itself ({type(error).__name__}: {error}); "
        "COAXWRIGHT_TRACEBACK=1 shows where"
    )
