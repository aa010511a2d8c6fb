"""`guide check`: every problem of the files given, with the line shown and what to write, and then the advice."""

import shutil
import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import click

from guide.cli.class_argument import each, loaded
from guide.cli.options import files_argument, level_option, slot_option
from guide.cli.tell import tell
from guide.plan.advice.view import Advice
from guide.problem import Problem
from guide.sequence.caution import caution
from guide.sequence.poses.pose import Condition
from guide.units import so_many

if TYPE_CHECKING:
    from guide.ready.load import LoadedClass

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
@level_option
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
def command(ctx: click.Context, files: tuple[str, ...], slot_ms: int | None, level: str | None, strict: bool) -> None:
    """Find what is wrong in class files, all of it at once, and give advice on the classes.

    Each problem is shown at its place, with the line and what to write instead. Where there is none, the class is read
    over as a colleague would: advice is no fault, and any of it can be silenced in the file. FILE is a class file, or
    the name of a class that comes with the program; `-` reads one from standard input. Many files can be checked at
    once. Of a class with levels each is checked; --level gives the advice on one alone.
    """
    advised: list[str] = []
    conditions: set[Condition] = set()

    def check(file: str) -> None:
        opened = loaded(file, level)
        conditions.update(opened.class_file.avoid if opened.class_file else ())
        levels = {level: opened} if level is not None else opened.each_level()
        advice = _advice(levels, slot_ms)
        _find_figures(opened)
        for one, given_at in advice.items():
            tell(_shown(one, given_at if len(given_at) < len(levels) else []))
        if advice:
            advised.append(file)
        told = f"; {so_many(len(advice), 'piece')} of advice" if advice else ""
        at = f" at {so_many(len(levels), 'level')} ({', '.join(levels)})" if opened.levels else ""
        tell(f"{file}: no problems found{at}{told}")
        missing = _unrecorded(opened)
        if missing:
            tell(f"{file}: {missing}")

    code = each(files, check)
    if advised:
        tell(_wrapped(LET_BE))
    tell(_wrapped(caution(conditions)))
    ctx.exit(max(code, ADVISED) if strict and advised else code)


def _find_figures(opened: "LoadedClass") -> None:
    """Find the bodies that a class describes itself, since there may be none that does what is said.

    Raises:
        FaultyFile: there is none.
    """
    own = opened.class_file.poses if opened.class_file else {}
    if any(pose.figure for pose in own.values()):
        from guide.sequence.poses.class_figures import class_figures

        class_figures(own)


def _advice(levels: "Mapping[str, LoadedClass]", slot_ms: int | None) -> dict[Advice, list[str]]:
    """The advice on each level of a class, sorted by place, with the names of the levels it is given at."""
    from guide.ready.advise import advise

    given: dict[Advice, list[str]] = {}
    for name, opened in levels.items():
        for advice in advise(opened, slot_ms):
            given.setdefault(replace(advice, steps=()), []).append(name)
    return dict(sorted(given.items()))


def _unrecorded(opened: "LoadedClass") -> str:
    """How many lines of a class in its teacher's own voice are not recorded yet; empty for all others."""
    from guide.voice.registry import DEFAULT, OWN

    if opened.class_file is None or opened.class_file.voice != OWN:
        return ""
    from guide.plan.estimate import EstimatedLengths
    from guide.ready.choices import VoiceChoice
    from guide.ready.make_ready import OpenClass
    from guide.ready.own_voice import unrecorded
    from guide.voice.takes.store import Takes

    one = OpenClass.of(opened, VoiceChoice(DEFAULT), None)
    numbers = one.numbers(EstimatedLengths(one.settings.rate), 0)
    return unrecorded(one.wanted | numbers, Takes.in_folder(opened.folder))


def _shown(advice: Advice, levels: Sequence[str]) -> str:
    """A piece of advice as a problem is shown, with the name of its rule, and the levels of those with more, behind."""
    from guide.ready.load import with_line

    sentence, *line = with_line(Problem(advice.place, advice.what, advice.fix)).shown().split("\n")
    at = f", level {', '.join(levels)}" if levels else ""
    return "\n".join((f"{sentence} [{advice.rule}{at}]", *line))


def _wrapped(text: str, indent: int = 0) -> str:
    return click.wrap_text(text, width=min(100, shutil.get_terminal_size().columns) - indent)
