"""`guide check`: every problem of the files given, with the line shown and what to write, and then the advice."""

import shutil
import textwrap

import click

from guide.cli.class_argument import each, loaded
from guide.cli.options import files_argument, slot_option
from guide.cli.tell import tell
from guide.plan.advice.view import Advice
from guide.problem import Problem
from guide.sequence.caution import caution
from guide.sequence.poses.pose import Condition
from guide.units import so_many

#: Left with when there is advice and `--strict`: the file needs mending.
ADVISED = 2

LET_BE = (
    "To silence a piece of advice, write `let be: ` and its name, as it stands in the brackets, at the step, or at the "
    "top of the file for the whole class. `guide check --rules` gives the reasons."
)


def _show_rules(ctx: click.Context, param: click.Parameter, value: bool) -> None:
    from guide.plan.advice.registry import RULES

    if not value or ctx.resilient_parsing:
        return
    for rule in RULES.values():
        tell(f"{rule.NAME}\n{textwrap.indent(_wrapped(rule.REASON, 4), '    ')}")
    ctx.exit()


@click.command(name="check")
@files_argument
@slot_option
@click.option("--strict", is_flag=True, help=f"Leave with {ADVISED} where there is advice.")
@click.option(
    "--rules",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_show_rules,
    help="List what advice is given on, each with its reason.",
)
@click.pass_context
def command(ctx: click.Context, files: tuple[str, ...], slot_ms: int | None, strict: bool) -> None:
    """Find what is wrong in class files, all of it at once, and give advice on the classes.

    Each problem is shown at its place, with the line and what to write instead. Where there is none, the class is read
    over as a colleague would: advice is no fault, and any of it can be silenced in the file. FILE is a class file, or
    the name of a class that comes with the program; `-` reads one from standard input. Many files can be checked at
    once.
    """
    advised: list[str] = []
    conditions: set[Condition] = set()

    def check(file: str) -> None:
        from guide.ready.advise import advise

        opened = loaded(file)
        conditions.update(opened.class_file.avoid if opened.class_file else ())
        advice = advise(opened, slot_ms)
        for shown in map(_shown, advice):
            tell(shown)
        if advice:
            advised.append(file)
        told = f"; {so_many(len(advice), 'piece')} of advice" if advice else ""
        tell(f"{file}: no problems found{told}")

    code = each(files, check)
    if advised:
        tell(_wrapped(LET_BE))
    tell(_wrapped(caution(conditions)))
    ctx.exit(max(code, ADVISED) if strict and advised else code)


def _shown(advice: Advice) -> str:
    """A piece of advice as a problem is shown, with the name of its rule after the sentence."""
    from guide.ready.load import with_line

    sentence, *line = with_line(Problem(advice.place, advice.what, advice.fix)).shown().split("\n")
    return "\n".join((f"{sentence} [{advice.rule}]", *line))


def _wrapped(text: str, indent: int = 0) -> str:
    return click.wrap_text(text, width=min(100, shutil.get_terminal_size().columns) - indent)
