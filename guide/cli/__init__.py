"""The command `guide`: each command in a file of its own, brought in only when it is called."""

import gc
import importlib
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import click

from guide.cli.stopping import Stopped, exit_code, stop_line, stopping_in_order
from guide.cli.streams import open_closed_streams, telling_lost_output
from guide.cli.tell import tell
from guide.problem import GuideError
from guide.visible import visible

#: Every command with its module and the line that `guide --help` shows for it.
COMMANDS = {
    "new": ("guide.cli.new", "Start a class file that is ready to be changed."),
    "check": ("guide.cli.check", "Find what is wrong in class files, and say what to write."),
    "plan": ("guide.cli.plan", "Show how a class will run, minute by minute."),
    "sheet": ("guide.cli.sheet", "Put a class on paper in figures, to carry to the mat."),
    "play": ("guide.cli.play", "Lead a class aloud, and do as you ask with one key."),
    "log": ("guide.cli.log", "Print what really happened in a class that was led."),
    "rehearse": ("guide.cli.rehearse", "Teach a class beside its plan, and see how the time went."),
    "compare": ("guide.cli.compare", "Show how a taught class went, beside its plan."),
    "draft": ("guide.cli.draft", "Draft a class file from the captions of a class."),
    "record": ("guide.cli.record", "Record the lines of a class in your own voice."),
    "keys": ("guide.cli.keys", "Show what keys ask for, and teach pedals and remotes."),
    "render": ("guide.cli.render", "Make the sound file of a class, with its captions."),
    "series": ("guide.cli.series", "Make a track for each week, in which the words thin out."),
    "picture": ("guide.cli.picture", "Draw a class as a picture: its poses, sides, breath and words in time."),
    "poses": ("guide.cli.poses", "Search the pose library, and show what it knows of a pose."),
    "voices": ("guide.cli.voices", "List the voices of this machine, or hear one."),
    "sounds": ("guide.cli.sounds", "List the bells and chimes, or hear one."),
    "doctor": ("guide.cli.doctor", "Say what this machine has and lacks, and how to mend it."),
}


#: Python looks for values that only hold each other each time that so many more were made. What is read and planned
#: stays until the end, and every look through it, at the usual 700, is for nothing.
LOOKED_THROUGH_AFTER = 50_000


class _Commands(click.Group):
    """A group that knows its commands by name and loads one only to run it or to show its own help."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = importlib.import_module(COMMANDS[cmd_name][0]).command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, line) in COMMANDS.items()])

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as error:
            raise click.UsageError(f"{error.message.rstrip('.')} ({_meant(args[0])})", ctx) from error

    def main(self, *args: Any, **options: Any) -> Any:
        gc.set_threshold(LOOKED_THROUGH_AFTER)
        open_closed_streams()
        with telling_lost_output():
            return super().main(*args, **options)

    def make_context(
        self, info_name: str | None, args: list[str], parent: click.Context | None = None, **extra: Any
    ) -> click.Context:
        with _shown_visibly():
            return super().make_context(info_name, args, parent, **extra)

    def invoke(self, ctx: click.Context) -> Any:
        try:
            with _shown_visibly(), stopping_in_order():
                return super().invoke(ctx)
        except GuideError as error:
            tell(str(error), err=True)
            ctx.exit(error.exit_code)
        except (KeyboardInterrupt, Stopped) as error:
            tell(stop_line(error), err=True)
            ctx.exit(exit_code(error))


@contextmanager
def _shown_visibly() -> Iterator[None]:
    """What click refuses of what was typed is shown as `tell` would."""
    try:
        yield
    except click.UsageError as error:
        message = error.format_message()
        if visible(message) == message:
            raise
        raise click.UsageError(visible(message), error.ctx) from error


def _meant(word: str) -> str:
    from difflib import get_close_matches

    near = get_close_matches(word, COMMANDS, n=1)
    return f"did you mean “guide {near[0]}”?" if near else "`guide --help` lists the commands"


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="practice-guide", prog_name="guide", message="%(prog)s %(version)s")
def main() -> None:
    """Write a yoga class once, as a short text file; the guide leads it aloud.

    Start with `guide new`, look at it with `guide plan`, and make the track for your students with `guide render`.

    Exit codes: 0, done; 1, the machine could not (a full disk, something missing); 2, the file or the command needs
    mending; 130, 143, 129, stopped by Ctrl-C, `kill` or a terminal that went. Everything that went wrong is written to
    standard error.
    """
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
