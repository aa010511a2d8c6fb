"""One registry for all that comes out: the ending of a name says what is written, and of what it is made."""

from pathlib import Path

import pytest
from export_samples import lakeside

from guide.export.registry import EXPORTERS, TextExporter, exporter_of, write
from guide.export.track import Measured
from guide.plan.timeline import Timeline
from guide.problem import UnusableChoice

OF_TIMELINE = {ending: one for ending, one in EXPORTERS.items() if one.subject is Timeline}


@pytest.mark.parametrize("ending", [*OF_TIMELINE, ".VTT", ".Chapters.Vtt", ".PLAN.json"])
def test_the_ending_chooses_the_format(tmp_path: Path, ending: str) -> None:
    path = tmp_path / f"class{ending}"
    exporter = OF_TIMELINE[ending.lower()]
    assert isinstance(exporter, TextExporter)
    assert write(lakeside(), path) == ""
    assert path.read_bytes().decode() == exporter.seal.put(exporter.text(lakeside()))


def test_every_kind_has_a_name_of_its_own() -> None:
    names = [one.name for one in EXPORTERS.values()]
    assert len(set(names)) == len(names)
    assert all(exporter_of(Path(f"class{ending}")) is one for ending, one in EXPORTERS.items())


@pytest.mark.parametrize("name", ["class.txt", "class"])
def test_an_unknown_ending_is_refused_with_the_known_ones(tmp_path: Path, name: str) -> None:
    with pytest.raises(UnusableChoice) as caught:
        write(lakeside(), tmp_path / name)
    assert str(caught.value).endswith(f"(use one of {', '.join(EXPORTERS)})")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(("ending", "made_of"), [(".wav", "a class that is ready"), (".html", "a comparison")])
def test_what_is_made_of_something_else_is_refused(tmp_path: Path, ending: str, made_of: str) -> None:
    with pytest.raises(UnusableChoice, match=rf"is made of {made_of} \(name another ending\)$"):
        write(lakeside(), tmp_path / f"class{ending}")
    assert not list(tmp_path.iterdir())


def test_the_peak_that_is_told_is_measured_or_of_a_lossy_format_the_most_that_it_may_be() -> None:
    assert str(Measured(-18.04, -1.31, 0.0)) == "-18.0 LUFS, peak -1.3 dBTP"
    assert str(Measured(-14.0, -2.91, 1.6)) == "-14.0 LUFS, peak at most -1.3 dBTP"
