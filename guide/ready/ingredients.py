"""All that goes into the track of a class, as one hash: the same hash is the same track."""

from collections.abc import Iterator
from hashlib import blake2b, file_digest
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from guide.ready.load import LoadedClass

_BYTES = 20


def made_of(opened: "LoadedClass", voice: str | None, asked: object) -> str:
    """A hash of all that goes into the track of a class: what is read and asked, the program and the voice."""
    facts = blake2b(digest_size=_BYTES)
    for fact in _facts(opened, voice, asked):
        facts.update(f"{len(fact)} {fact}".encode("utf-8", "surrogatepass"))
    return facts.hexdigest()


def _facts(opened: "LoadedClass", voice: str | None, asked: object) -> Iterator[str]:
    # Brought in here: who only looks at hashes starts sooner.
    from guide.plan.beats import is_counted_aloud
    from guide.sound.clip_finish import FINISH
    from guide.voice.registry import DEFAULT, OWN, open_voice
    from guide.voice.takes.store import Takes

    class_file, steps = opened.whole()
    name = voice or class_file.voice or DEFAULT
    spoken_by = open_voice(DEFAULT if name == OWN else name)
    yield from (version("practice-guide"), FINISH.version, name, spoken_by.version, repr(asked))
    yield from sorted(f"{what}: {hash_of(path)}" for path, what in opened.made_from().items())
    if name == OWN:
        takes = Takes.in_folder(opened.folder)
        said = {words.text for step in steps.steps for words in (*step.entry, *step.words)}
        heard = {take.path for text in said if (take := takes.latest(text)) is not None}
        # Which numbers are said shows when it is planned.
        counted = takes.folder.glob("*.flac") if any(map(is_counted_aloud, steps.steps)) else ()
        yield from sorted(map(hash_of, {*heard, *counted}))


def hash_of(path: Path) -> str:
    """A hash of what is in a file; of one that cannot be read, words that are none."""
    try:
        with path.open("rb") as file:
            return file_digest(file, lambda: blake2b(digest_size=_BYTES)).hexdigest()
    except OSError as error:
        return f"cannot be read ({error.strerror})"
