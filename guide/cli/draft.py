"""`guide draft`: a first class file from the captions of a class that was taught."""

import re
from pathlib import Path

import click

from guide.cli.heard_words import check_hearing, model_option, words_heard
from guide.cli.new_file import write_new
from guide.cli.tell import tell


@click.command(name="draft")
@click.argument("recording", metavar="RECORDING", type=click.Path(path_type=Path))
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE", help="The class file to write.")
@click.option("--say", "as_words", is_flag=True, help="Keep what was said as words to say, not as comments.")
@model_option
def command(recording: Path, output: Path | None, as_words: bool, model: Path | None) -> None:
    """Draft a class file from the captions of a class, or from the sound of it.

    RECORDING are the captions of a recording, in English: WebVTT, SubRip, ASS, TTML, JSON, a table with tabs, or lines
    that begin with a time, such as `1:05 Lift your arms`. The draft has the poses that were named, or told by what to
    do, the breaths that were called, both sides as one, sun salutations as the blocks that come with the program, and
    holds in whole breaths. What was said stands beside it in comments, with the times of the recording; with --say it
    is said in the class. What is not sure is marked as doubtful. With the extra `hear` RECORDING may be sound or a film
    too: its words are heard on this machine and kept beside it, to be mended and used again.

    Without -o the draft is printed. A file that is already there is left alone.
    """
    from guide.draft.class_text import SpokenWords
    from guide.draft.draftable import check_draftable
    from guide.draft.from_captions import draft_class
    from guide.review.captions.transcript import read
    from guide.review.hearing.recorded_speech import is_recording
    from guide.sequence.poses.usual_names import usual_names

    is_heard = is_recording(recording)
    check_hearing(recording, is_heard, model)
    transcript = words_heard(recording, usual_names(), model) if is_heard else read(recording)
    check_draftable(transcript)
    text = draft_class(transcript, _title(output or recording), SpokenWords.WORDS if as_words else SpokenWords.COMMENTS)
    if output is None:
        tell(text, nl=False)
    else:
        write_new(output, text)
        tell(f"Wrote {output}. Look at it with: guide plan {output}")


def _title(path: Path) -> str:
    """The file's name as a title."""
    words = "".join(char if char.isprintable() else " " for char in re.sub(r"[-_\s<>]+", " ", path.stem))
    return " ".join(words.split())[:100].capitalize() or "Draft"
