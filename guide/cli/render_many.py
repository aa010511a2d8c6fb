"""Several classes rendered side by side, those left alone of which nothing has changed."""

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, replace
from pathlib import Path

import click

from guide.cli.class_argument import loaded, take_back_lines, wipe_line
from guide.cli.render_one import TrackOptions, checked_paths, made_ready, write_class
from guide.cli.stopping import Stopped
from guide.cli.tell import tell
from guide.cli.track_options import unchanged
from guide.export.made_record import Made, MadeRecord, hashes
from guide.export.replacing import Replace
from guide.export.side_by_side import Crashed, SideBySide
from guide.priority import cores
from guide.problem import GuideError
from guide.ready.ingredients import made_of
from guide.units import so_many
from guide.visible import visible_in_line

#: Of the work for a class, about so much is over when its words are spoken.
SPOKEN = 0.2

#: A bar has so many parts for each class.
PARTS = 1000


@dataclass(frozen=True, slots=True)
class TrackJob:
    """A class to render: its file, among all that are read, where it goes, and what is kept of it from before."""

    file: str
    files: tuple[str, ...]
    target: Path
    asked: TrackOptions
    before: Made | None


@dataclass(frozen=True, slots=True)
class TrackDone:
    """What is told of a track: a line, and one beside it; and what to keep of one that was written, or an exit code."""

    line: str
    aside: str = ""
    made: Made | None = None
    exit_code: int = 0


def render_many(targets: Sequence[Path], files: tuple[str, ...], asked: TrackOptions, again: bool) -> int:
    """Render each file to its target; the lines come in the order of the files, whichever is done first.

    Returns the exit code: the highest of the errors met, 0 where there were none.
    """
    folder = targets[0].parent
    with suppress(OSError):  # whoever writes there says why it cannot be
        folder.mkdir(exist_ok=True)
    record = MadeRecord.read(folder)
    before = {} if again else record.tracks
    jobs = [
        TrackJob(file, files, target, asked, before.get(target.name))
        for file, target in zip(files, targets, strict=True)
    ]
    done: dict[int, TrackDone] = {}
    told = 0
    work = SideBySide(rendered, cores())
    try:
        with _progress(len(jobs)) as bar, closing(work.work_through(jobs, bar.heard)) as outcomes:
            for place, outcome in outcomes:
                done[place] = _crashed(jobs[place], outcome) if isinstance(outcome, Crashed) else outcome
                if (made := done[place].made) is not None:
                    record.keep(targets[place], made)
                bar.heard(place, 1.0)
                while told in done:
                    bar.tell(done[told])
                    told += 1
    except (KeyboardInterrupt, Stopped) as error:
        for each in (done[place] for place in sorted(done) if place >= told):
            _tell(each)
        written = sum(each.made is not None for each in done.values())
        error.add_note(f"{so_many(written, 'track')} of {len(jobs)} written and whole, and nothing half")
        raise
    if len(jobs) > 1:
        tell(_summary(jobs, [done[place] for place in range(len(jobs))]))
    return max(each.exit_code for each in done.values())


def rendered(job: TrackJob, heard: Callable[[float], None]) -> TrackDone:
    """Render one class, or leave its track as it is; `heard` takes the share of the work that is done."""
    try:
        opened = loaded(job.file, job.asked.level)
        paths = checked_paths(opened, job.target, job.asked, job.files)
        of = made_of(opened, job.asked.voice, replace(job.asked, replacing=Replace.OWN))
        if job.before is not None and job.before.is_there(of, paths):
            return TrackDone(f"{job.target}: nothing has changed")
        ready = made_ready(opened, job.asked, lambda done, total: heard(SPOKEN * done / total))
        line = write_class(
            ready, paths, job.asked.replacing, lambda done, total: heard(SPOKEN + (1 - SPOKEN) * done / total)
        )
    except GuideError as error:
        return TrackDone(str(error), exit_code=error.exit_code)
    aside = f"{job.file}: {ready.unrecorded}" if ready.unrecorded else ""
    return TrackDone(line, aside, Made(of, hashes(paths)))


def _crashed(job: TrackJob, crashed: Crashed) -> TrackDone:
    return TrackDone(f"{job.file}: could not be rendered: {crashed.what} (try it by itself)", exit_code=1)


def _tell(done: TrackDone) -> None:
    if done.aside:
        tell(done.aside, err=True)
    tell(done.line, err=done.exit_code > 0)


def _summary(jobs: Sequence[TrackJob], done: Sequence[TrackDone]) -> str:
    """How many were written, left alone, and failed, with the first line of each reason."""
    failed = [(job.file, each.line.partition("\n")[0]) for job, each in zip(jobs, done, strict=True) if each.exit_code]
    written = sum(each.made is not None for each in done)
    left = len(done) - written - len(failed)
    parts = [f"{written} written"]
    if left:
        parts.append(unchanged(left))
    if failed:
        parts.append(f"{len(failed)} failed")
    reasons = [f"\n  {line if line.startswith(file) else f'{file}: {line}'}" for file, line in failed]
    return f"{so_many(len(done), 'track')}: {', '.join(parts)}{':' if failed else ''}{''.join(reasons)}"


class _Lines:
    """Where there is no terminal: a line for each track."""

    def heard(self, place: int, share: float) -> None:
        """Nothing is shown of what is under way."""

    def tell(self, done: TrackDone) -> None:
        """The lines of a track."""
        _tell(done)


class _Bar(_Lines):
    """One bar for all tracks, with how many are done and the time that is left; lines come above it."""

    def __init__(self, bar: "click._termui_impl.ProgressBar[int]", jobs: int) -> None:
        self._bar = bar
        self._shares = [0.0] * jobs
        self._bar.label = self._label()

    def heard(self, place: int, share: float) -> None:
        """How much of one is done."""
        self._shares[place] = max(share, self._shares[place])
        self._bar.label = self._label()
        self._bar.update(int(sum(self._shares) * PARTS) - self._bar.pos)

    def tell(self, done: TrackDone) -> None:
        """The lines of a track, above the bar."""
        wipe_line()
        _tell(done)
        self._bar.render_progress()

    def _label(self) -> str:
        ready = sum(share >= 1.0 for share in self._shares)
        return visible_in_line(f"{ready} of {len(self._shares)} tracks")


@contextmanager
def _progress(jobs: int) -> Iterator[_Lines]:
    """The bar on standard error, which leaves no line; lines alone where that is not a terminal."""
    if not sys.stderr.isatty():
        yield _Lines()
        return
    with click.progressbar(length=jobs * PARTS, file=sys.stderr, fill_char="█", empty_char="·", width=24) as bar:
        yield _Bar(bar, jobs)
    take_back_lines(1)
