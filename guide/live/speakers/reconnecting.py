"""The loudspeaker kept going: a device that has gone is opened again as soon as it can be, and what it does is watched.

Gone is one that says so, one that asks for nothing any more, one that takes sound faster than it can be heard, and one
whose sound the server has moved to where nobody hears it. One that runs dry is given more to keep ahead.
"""

import threading
import time
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from guide.live.speakers import opened
from guide.live.speakers.base import USUAL, WIDTHS_MS, Loudspeaker, Pull, Wanted
from guide.live.speakers.device_timing import DeviceTiming
from guide.live.speakers.sound_server import ServerSink
from guide.priority import come_first
from guide.problem import GuideError, MachineTrouble

#: A device that has not asked for sound for so long is gone, whatever it says (one stalls without a word).
STALLED_S = 1.0

#: A sound server may take so long to wake for the first time.
WAKES_S = 4.0

#: So often a device that is gone is tried again.
RETRY_S = 0.5

#: An output that has not opened in this time hangs, with its sound server; it is left alone, and another one tried.
HANGS_S = 8.0

#: One that has not closed in this time is not waited for any longer.
CLOSES_S = 1.0

#: So often the sound server is asked where the sound goes.
LOOKS_S = 2.0

#: A device that has had nothing to play for so long is given more to keep ahead; at most, that is told instead.
DRY_S, VERY_DRY_S = 0.03, 3.0

#: It is opened anew for that in a silence, or after so long without one.
WAITS_S = 10.0


class ReconnectingSpeaker:
    """One output, held open; it asks `source` for sound, and plays silence until there is one."""

    def __init__(self, wanted: Wanted = USUAL) -> None:
        self.source: Pull | None = None
        self.is_lost = False
        self._wanted = wanted
        self._output: Loudspeaker | None = None
        self._opening: _Opening | None = None
        self._opened: _Opening | None = None
        self._watch: _Watch | None = None
        self._timing = DeviceTiming()
        self._pulled_s = self._tried_s = self._sounded_s = 0.0
        self._dry_since_s: float | None = None
        self._is_dry_told = False

    def open(self) -> None:
        """Open the output, so that it is warm when the class begins.

        Raises:
            UnusableChoice: there is no such output.
            MachineTrouble: there is no sound to be had.
        """
        self._pulled_s = time.monotonic() + WAKES_S
        opening = _Opening(self._pull, self._wanted, None)
        self._begin(opening)
        self._pulled_s = time.monotonic() + WAKES_S

    @property
    def name(self) -> str:
        """What plays: the output, and the device that was asked for."""
        output = "" if self._output is None else self._output.name
        return f"{output}, {self._wanted.device}" if self._wanted.device else output

    def _begin(self, opening: "_Opening") -> None:
        """Play by an output that was opened. Raises what opening it raises."""
        self._output, self._opened = opening.result(), opening
        self._watch = _Watch(self._output)
        self._pulled_s = time.monotonic()
        self._dry_since_s = None

    def _pull(self, frames: int) -> NDArray[np.float32]:
        now_s = self._pulled_s = time.monotonic()
        self._timing.took(frames, now_s)
        if self.source is None or self._timing.is_too_fast:
            return np.zeros((frames, 2), np.float32)
        sound = self.source(frames)
        if sound.any():
            self._sounded_s = now_s
        return sound

    def keep(self) -> str:
        """Look after the output, without ever waiting for it; called a few times a second. What there is to tell."""
        now_s = time.monotonic()
        if self._opening is not None:
            self._take(self._opening)
            return ""
        moved = self._watch.moved if self._watch is not None else None
        told = self._gone(now_s, moved)
        if told is None:
            return self._gone_on(moved) if moved is not None else self._widened(now_s)
        if now_s - self._tried_s < RETRY_S:
            return ""
        was_lost, self.is_lost = self.is_lost, True
        self._open_again(now_s)
        return "" if was_lost else told

    def _gone(self, now_s: float, moved: ServerSink | None) -> str | None:
        """What there is to tell of an output that is gone; None of one that is there."""
        if self._output is None or not self._output.alive or now_s - self._pulled_s > STALLED_S:
            return ""
        if self._timing.is_too_fast:
            return "the loudspeaker takes the sound faster than it can be heard"
        # Who has named a device does not want the class in another room.
        return "the loudspeaker is gone" if moved is not None and (moved.is_dummy or self._wanted.device) else None

    def _gone_on(self, moved: ServerSink) -> str:
        """What there is to tell of sound that goes to another loudspeaker than before."""
        if self._watch is not None:
            self._watch.first = moved
        return f"the sound goes to {moved.called} now"

    def _widened(self, now_s: float) -> str:
        """What there is to tell of a device that has run dry, once it is being given more to keep ahead."""
        if self._output is None or self._timing.dry_s < DRY_S or not self._output.widens:
            return ""
        wider_ms = next((width_ms for width_ms in WIDTHS_MS if width_ms > self._wanted.buffer_ms), None)
        if wider_ms is None:
            if self._is_dry_told or self._timing.dry_s <= VERY_DRY_S:
                return ""
            self._is_dry_told = True
            return "the sound breaks off: this machine is too busy (close other programs)"
        self._dry_since_s = now_s if self._dry_since_s is None else self._dry_since_s
        is_silent = now_s - self._sounded_s > self._output.latency_ms / 1000
        if not is_silent and now_s - self._dry_since_s < WAITS_S:
            return ""
        self._wanted = replace(self._wanted, buffer_ms=wider_ms)
        self._open_again(now_s)
        return f"the sound broke off: {wider_ms} ms are kept ahead from now on (--buffer {wider_ms})"

    def _open_again(self, now_s: float) -> None:
        """Let go of the output, and open it, or another, with what is wanted now."""
        self._tried_s = now_s
        closing = self._let_go()
        self._timing = DeviceTiming()
        self._opening = _Opening(self._pull, self._wanted, closing)

    def _take(self, opening: "_Opening") -> None:
        """The output that was being opened, if it is open by now."""
        if opening.is_hung:
            opening.abandon()
        elif not opening.is_done:
            self.is_lost |= time.monotonic() - self._tried_s > STALLED_S
            return
        else:
            try:
                self._begin(opening)
                self.is_lost = False
            except MachineTrouble:
                self.is_lost = True
        self._opening = None

    def _let_go(self) -> threading.Thread | None:
        """Close an output that is gone; closing one may hang as well, so that is not waited for here."""
        if self._watch is not None:
            self._watch.over.set()
            self._watch = None
        if self._opened is not None:
            # One that has only stalled may wake, and would take frames of the class with it.
            self._opened.refuse()
            self._opened = None
        output, self._output = self._output, None
        if output is None:
            return None
        closing = threading.Thread(target=output.stop, daemon=True, name="closing the output")
        closing.start()
        return closing

    def stop(self) -> None:
        """Close the output, once what it has been given is heard."""
        self.source = None
        if self._opening is not None:
            self._opening.abandon()
        if self._watch is not None:
            self._watch.over.set()
        if self._output is not None and not self.is_lost:
            time.sleep(self._output.latency_ms / 1000)
            self._output.stop()
        self._output = None


class _Watch:
    """Asks the sound server now and then where an output plays, in a thread of its own."""

    def __init__(self, output: Loudspeaker) -> None:
        self.over = threading.Event()
        self.first: ServerSink | None = None
        self._now: ServerSink | None = None
        threading.Thread(target=self._look, args=(output,), daemon=True, name="watching the output").start()

    def _look(self, output: Loudspeaker) -> None:
        self.first = self._now = output.sink()
        while self.first is not None and not self.over.wait(LOOKS_S):
            # A stream that is just going is nowhere.
            self._now = output.sink() or self._now

    @property
    def moved(self) -> ServerSink | None:
        """Where it plays now, if that is not where it played at first."""
        first, now = self.first, self._now
        return now if first is not None and now is not None and now.name != first.name else None


class _Opening:
    """An output being opened in a thread of its own, since a sound server that is stuck never answers.

    `closing` closes the one before: some devices are had by one program only, and one library is started anew.
    """

    def __init__(self, pull: Pull, wanted: Wanted, closing: threading.Thread | None) -> None:
        self._began_s = time.monotonic()
        self._found: Loudspeaker | GuideError | None = None
        self._is_wanted = True
        self._lock = threading.Lock()
        self._source = pull
        self._thread = threading.Thread(
            target=self._open, args=(wanted, closing), daemon=True, name="opening an output"
        )
        self._thread.start()

    def _pull(self, frames: int) -> NDArray[np.float32]:
        """What the class sounds like; nothing for an output that is not wanted any more, lest frames be lost in it."""
        return self._source(frames) if self._is_wanted else np.zeros((frames, 2), np.float32)

    def _open(self, wanted: Wanted, closing: threading.Thread | None) -> None:
        # The threads and the programs that an output starts have the priority of this one.
        come_first()
        found: Loudspeaker | GuideError
        if closing is not None:
            closing.join(CLOSES_S)
        try:
            found = opened(self._pull, wanted)
        except GuideError as error:
            found = error
        with self._lock:
            self._found = found
            if self._is_wanted or isinstance(found, GuideError):
                return
        found.stop()

    @property
    def is_done(self) -> bool:
        return self._found is not None

    @property
    def is_hung(self) -> bool:
        return not self.is_done and time.monotonic() - self._began_s > HANGS_S

    def result(self) -> Loudspeaker:
        """The output, which is waited for as long as it is not hung. Raises what `opened` raises."""
        self._thread.join(HANGS_S)
        if self._found is None:
            self.abandon()
            raise MachineTrouble(f"no sound: the sound server has not answered for {HANGS_S:g} s (restart it)")
        if isinstance(self._found, GuideError):
            raise self._found
        return self._found

    def refuse(self) -> None:
        """Give the output nothing more of the class."""
        self._is_wanted = False

    def abandon(self) -> None:
        """Close the output again, should it open after all."""
        with self._lock:
            self._is_wanted, found = False, self._found
        if found is not None and not isinstance(found, GuideError):
            found.stop()
