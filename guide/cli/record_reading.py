"""`guide record FILE --from`: takes cut out of one long recording of the whole script."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from guide.cli.class_argument import progress_bar
from guide.cli.heard_words import words_heard
from guide.cli.tell import tell
from guide.units import clock, so_many
from guide.visible import visible_in_line

if TYPE_CHECKING:
    from guide.record.cutting import Cuts, LineCut
    from guide.record.lines import ReadingLine
    from guide.review.captions.transcript import Transcript
    from guide.voice.takes.measuring import TakeFault, Verdict
    from guide.voice.takes.store import Takes


def keep_reading(
    recording: Path, lines: "Sequence[ReadingLine]", takes: "Takes", keep_doubtful: bool, model: Path | None
) -> None:
    """Cut a recording into takes of the lines, keep them, and tell what was found.

    Raises:
        UnusableChoice: the recording cannot be read, is silent, or is a reading of something else.
        MachineTrouble: what hears a voice is not installed, or a take cannot be kept.
    """
    from guide.record.cutting import cut
    from guide.review.hearing.recorded_speech import heard_in

    with progress_bar(f"Listening to {recording.name}") as progress:
        stretches, length_ms = heard_in(recording, progress)
    found = cut(str(recording), lines, stretches, length_ms, _words(recording, model))
    wanted = [one for one in found.cuts if keep_doubtful or not one.doubt]
    kept, faults = _keep(recording, wanted, takes)
    for row in (*_told(found, kept, len(wanted), takes, keep_doubtful), *_told_faults(faults)):
        tell(row)
    tell(f"{recording} is left as it is.")


def _words(recording: Path, model: Path | None) -> "Transcript | None":
    """The words of the recording, where there is what hears them."""
    from guide.review.hearing.recogniser import INSTALL, is_installed

    if model is None and not is_installed():
        tell(f"Lines are told apart by their lengths alone; by their words it is surer ({INSTALL}).", err=True)
        return None
    # Names told beforehand made the recogniser leave out whole minutes of a reading (60 lines of 147 were lost).
    return words_heard(recording, (), model)


def _keep(
    recording: Path, cuts: "Sequence[LineCut]", takes: "Takes"
) -> "tuple[int, dict[TakeFault, list[tuple[LineCut, Verdict]]]]":
    """Keep what was cut; how many were not kept before, and what is wrong with all of them."""
    from guide.record.cut_sound import kept_anew, sounds_of
    from guide.units import RATE_HZ
    from guide.voice.takes.measuring import measured, verdicts

    kept = 0
    faults: dict[TakeFault, list[tuple[LineCut, Verdict]]] = {}
    with progress_bar(f"Cutting {recording.name}") as progress:
        sounds = sounds_of(recording, [(one.start_ms, one.end_ms) for one in cuts], progress)
        for one, sound in zip(cuts, sounds, strict=True):
            kept += kept_anew(takes, one.line, sound) is not None
            for verdict in verdicts(measured(sound, RATE_HZ)):
                faults.setdefault(verdict.fault, []).append((one, verdict))
    return kept, faults


def _told_faults(faults: "dict[TakeFault, list[tuple[LineCut, Verdict]]]") -> Iterator[str]:
    """What is wrong with takes, in a line for each kind, with the first of them."""
    for met in faults.values():
        one, verdict = met[0]
        first = f", first line {one.number}" if len(met) > 1 else f", line {one.number}"
        yield f"{so_many(len(met), 'take')}{first}: {verdict}"


def _told(found: "Cuts", kept: int, wanted: int, takes: "Takes", keep_doubtful: bool) -> Iterator[str]:
    """What was found, in lines; of lines that are missing those that have no take from before."""
    lines = len(found.cuts) + len(found.missing)
    yield f"{wanted} of {so_many(lines, 'line')} found; {so_many(kept, 'take')} kept in {takes.folder}" + (
        f", {wanted - kept} there already." if kept < wanted else "."
    )
    doubtful = [one for one in found.cuts if one.doubt]
    if doubtful:
        yield ""
        yield f"Doubtful, {'kept all the same' if keep_doubtful else 'not kept'}; please hear them:"
        for one in doubtful:
            yield f"  {clock(one.start_ms)} {_quoted(one.number, one.line)}, {visible_in_line(one.doubt)}"
        if not keep_doubtful:
            yield "Add --keep-doubtful if all of them are right, or record those that are not again."
    missing = [(number, line) for number, line in found.missing if takes.latest(line.words) is None]
    if missing:
        yield ""
        yield "Not found:"
        for number, line in missing:
            yield f"  {_quoted(number, line)}"
    yield ""


def _quoted(number: int, line: "ReadingLine") -> str:
    return f"{number} “{visible_in_line(line.words)}”"
