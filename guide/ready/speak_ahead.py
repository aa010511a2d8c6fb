"""A class that begins before all of its words are spoken: the first two minutes are, and the rest is spoken ahead.

Lengths of words that are not spoken yet are estimated. When they are known, the rest of the class is planned again.
"""

import threading
import time
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from itertools import islice
from typing import TYPE_CHECKING

from guide.problem import GuideError, Place
from guide.ready.make_ready import OpenClass
from guide.sequence.steps import Steps

if TYPE_CHECKING:
    from guide.plan.thinning import WordsKept
    from guide.plan.timeline import Timeline
    from guide.sound.mixer import Mix
    from guide.voice.class_clips import Progress
    from guide.voice.late_clips import LateClips
    from guide.voice.worker_pool import Waking

#: A class begins when so much of it is spoken.
FIRST_MS = 120_000

#: Words are to be spoken so long before they are said, or the class does not begin yet.
MARGIN_S = 20.0

#: A voice takes about so long to wake, and the class to be planned again, each time that words are spoken.
WAKES_S = 4.0

#: So few words are all spoken while what is known is read, wherever in the class they are: an edit or two.
FEW = 6

#: So many cues are spoken at a time while the class runs, each of about so many ms.
AT_A_TIME, MIDDLING_MS = 40, 4000


@dataclass(slots=True)
class Begun:
    """A class that can begin: its plan, the words spoken so far, and those that are not spoken yet, as they come.

    `unheard` are the words, each with the number of its step, that somebody asked not to hear.
    """

    opened: OpenClass
    steps: Steps
    timeline: "Timeline"
    gathered: "LateClips"
    word_ms: dict[str, int]
    waiting: dict[str, Place]
    unheard: frozenset[tuple[int, str]] = frozenset()

    @property
    def unspoken(self) -> frozenset[str]:
        """The words that are not spoken yet."""
        return frozenset(self.waiting)

    def mixed(self) -> Callable[["Timeline"], "Mix"]:
        """How a mix of a plan is made: of the words that are spoken, at the levels of the first one."""
        from guide.plan.thinning import without
        from guide.sound.mixer import prepare, with_room_tone

        finished = with_room_tone if self.opened.class_file.room_tone else lambda mix: mix
        tapes = self.opened.music
        whole = prepare(self._spoken(self.timeline), self.gathered, self.opened.palette, tapes=tapes)

        def mix(timeline: "Timeline") -> "Mix":
            heard = without(self._spoken(timeline), self.unheard)
            again = prepare(heard, self.gathered, self.opened.palette, settled=whole.predicted, tapes=tapes)
            return finished(again)

        first = mix(self.timeline) if self.unheard else finished(whole)
        return lambda timeline: first if timeline is self.timeline else mix(timeline)

    def keep(self, kept: "WordsKept") -> None:
        """Let no more words of it be heard than are kept; its plan stays whole, and so does what a screen shows."""
        from guide.plan.thinning import thinned

        self.unheard = frozenset((cue.step, cue.words) for cue in thinned(self.timeline, kept).left_out)

    def _spoken(self, timeline: "Timeline") -> "Timeline":
        """The plan with those of its cues that are spoken, and are as long as it has them."""
        return replace(
            timeline,
            cues=tuple(
                cue
                for cue in timeline.cues
                if cue.words in self.gathered and self.gathered.length_ms(cue.words) <= cue.length_ms
            ),
        )

    def speak_on(
        self, learn: Callable[[Mapping[str, int], frozenset[str]], None], tell: Callable[[str], None]
    ) -> threading.Thread:
        """Speak the rest, in the order in which it will be said, in a thread of its own; `learn` is told lengths."""
        thread = threading.Thread(target=self._speak_on, args=(learn, tell), daemon=True, name="speaking ahead")
        thread.start()
        return thread

    def _speak_on(
        self, learn: Callable[[Mapping[str, int], frozenset[str]], None], tell: Callable[[str], None]
    ) -> None:
        from guide.priority import come_as_usual

        come_as_usual()
        while self.waiting:
            batch = dict(islice(self.waiting.items(), AT_A_TIME))
            for text, error in _speak(self.opened, batch, self.gathered):
                tell(f"left out: “{text}” ({error})")
            self.waiting = {text: place for text, place in self.waiting.items() if text not in batch}
            self.word_ms |= self.gathered.lengths_ms()
            learn(dict(self.word_ms), self.unspoken)


def _speak(opened: OpenClass, wanted: Mapping[str, Place], gathered: "LateClips") -> Iterator[tuple[str, GuideError]]:
    """Speak the words; those that cannot be are given back, each with the reason."""
    from guide.sound.clip_finish import FINISH
    from guide.voice.class_clips import speak_all

    try:
        gathered.add(speak_all(list(wanted.items()), opened.settings, FINISH))
        return
    except GuideError as error:
        if len(wanted) == 1:
            yield next(iter(wanted)), error
            return
    for text, place in wanted.items():
        yield from _speak(opened, {text: place}, gathered)


def make_begun(
    opened: OpenClass,
    spare_numbers: int,
    progress: "Progress | None" = None,
    begins_ms: Callable[["Timeline"], int] = lambda timeline: 0,
    waking: "Waking | None" = None,
    meanwhile: Callable[[], object] = lambda: None,
) -> Begun:
    """A class whose first two minutes, from where it begins, are spoken, and of the rest what is there already.

    So many numbers are spoken beyond those of the plan, for holds that may grow. `begins_ms` tells in its plan where
    it begins; a voice that is `waking` speaks first, and `meanwhile` is done while a few words are spoken.

    Raises:
        GuideError: whatever is wrong with the class or the machine, said for a person.
    """
    from guide.sound.clip_finish import FINISH
    from guide.voice.class_clips import unspoken
    from guide.voice.late_clips import LateClips

    gathered, spoken_ms = LateClips(), 0
    with _spoken_aside(opened, gathered, progress, waking):
        from guide.plan.estimate import EstimatedLengths

        estimated = EstimatedLengths(opened.settings.rate)
        wanted = opened.wanted | opened.numbers(estimated, spare_numbers)
        missing = unspoken(list(wanted.items()), opened.settings, FINISH)
        gathered.add(opened.speak({text: place for text, place in wanted.items() if text not in missing}))
        # They are read when they ring first, which has time now.
        for name in opened.palette.sounds:
            opened.palette.measures(name)
        meanwhile()
    now: dict[str, Place] = {}
    began_s = time.monotonic()
    while True:
        if now:
            gathered.add(opened.speak(now, progress, waking))
            spoken_ms += sum(estimated[text] for text in now if text in missing)
        word_ms = {text: estimated[text] for text in wanted} | gathered.lengths_ms()
        steps, timeline = opened.planned(word_ms)
        from_ms = begins_ms(timeline)
        waiting = _in_order(timeline, gathered, wanted, from_ms)
        now = _needed(steps, timeline, waiting, from_ms)
        if not now:
            pace = (time.monotonic() - began_s) / max(1, spoken_ms)
            now = _late(timeline, waiting, estimated, pace, from_ms)
        if not now:
            return Begun(opened, steps, timeline, gathered, word_ms, waiting)


@contextmanager
def _spoken_aside(
    opened: OpenClass, gathered: "LateClips", progress: "Progress | None", waking: "Waking | None"
) -> Iterator[None]:
    """Where only a few words are not spoken yet, they are spoken meanwhile, and gathered at the end.

    Those that cannot be said are left for later: where the class begins with them, they are asked for again.
    """
    from guide.sound.clip_finish import FINISH
    from guide.voice.class_clips import unspoken

    missing = unspoken(list(opened.wanted.items()), opened.settings, FINISH)
    few = {text: opened.wanted[text] for text in opened.wanted if text in missing} if len(missing) <= FEW else {}
    with ThreadPoolExecutor(1) as aside:
        speaking = aside.submit(opened.speak, few, progress, waking) if few else None
        yield
        if speaking is not None:
            with suppress(GuideError):
                gathered.add(speaking.result())


def _in_order(
    timeline: "Timeline", gathered: "LateClips", wanted: Mapping[str, Place], from_ms: int
) -> dict[str, Place]:
    """The words that are not spoken yet, as they will be said from there on; all others come last."""
    ahead = (cue.words for cue in timeline.cues if cue.start_ms >= from_ms)
    said = dict.fromkeys(ahead) | dict.fromkeys(cue.words for cue in timeline.cues) | dict.fromkeys(wanted)
    return {text: wanted[text] for text in said if text not in gathered}


def _needed(steps: Steps, timeline: "Timeline", waiting: Mapping[str, Place], from_ms: int) -> dict[str, Place]:
    """What is not spoken of the first two minutes, and of the other sides of what is in them: they last the same."""
    first = [
        number
        for number, span in enumerate(timeline.spans)
        if from_ms < span.end_ms and span.start_ms < from_ms + FIRST_MS
    ]
    pairs = {steps.steps[number].pair for number in first} - {None}
    numbers = {*first, *(number for number, step in enumerate(steps.steps) if step.pair in pairs)}
    texts = {cue.words for cue in timeline.cues if cue.step in numbers}
    return {text: place for text, place in waiting.items() if text in texts}


def _late(
    timeline: "Timeline", waiting: Mapping[str, Place], estimated: Mapping[str, int], pace: float, from_ms: int
) -> dict[str, Place]:
    """The words up to the last that would be spoken too late, were the class to begin now.

    `pace` is how many seconds it takes to speak a ms of words.
    """
    starts_ms: dict[str, int] = {}
    for cue in timeline.cues:
        if cue.start_ms >= from_ms:
            starts_ms.setdefault(cue.words, cue.start_ms - from_ms)
    said = [text for text in waiting if text in starts_ms]
    done_s, late = 0.0, 0
    for number, text in enumerate(said):
        done_s += pace * estimated[text] + (WAKES_S if number % AT_A_TIME == 0 else 0.0)
        # All words of a batch come together, with its last.
        if done_s + MARGIN_S + pace * AT_A_TIME * MIDDLING_MS > starts_ms[text] / 1000:
            late = number + 1
    return {text: waiting[text] for text in said[:late]}
