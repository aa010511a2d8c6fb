"""Words that people write for the words of the language, each with what to write in its place."""

from collections.abc import Mapping

_BY = "write `by: …` at the top of the file"
_SAID = "write `say: …`, or `about: …` at the top of the file where it is to be read and not said"
_AGAIN = "for the other side write `both sides:` around the steps, for more times `rounds: 3` with `of:`"
_HELD = "write `hold: …`, such as `hold: 5 breaths` or `hold: 30 s`"
_WORDS = "write `say: …`"

#: At the top of a class.
AT_THE_TOP: Mapping[str, str] = {
    **dict.fromkeys(("teacher", "instructor", "author"), "write `by: …`"),
    **dict.fromkeys(
        ("theme", "intention", "focus", "description", "notes", "props", "equipment"),
        "write `about: …`, and what is to be said as a step: `- say: …`",
    ),
    **dict.fromkeys(("quote", "poem", "welcome"), "write it as a step under `class:`: `- say: …`"),
    **dict.fromkeys(("duration", "length", "time", "lasts", "minutes"), "write `slot: …`, such as `slot: 60 min`"),
    **dict.fromkeys(("steps", "sequence", "flow", "practice"), "write `class:` and the steps below it"),
    "name": "write `title: …`",
    "level": "write `level: gentle` below each step or cue that is for one level; for people to read, `about: …`",
    **dict.fromkeys(("songs", "playlist", "soundtrack", "background"), "write `music: …`"),
    "sections": "write `- section: …` among the steps of `class:`",
    "breath": "write `pace: …`",
    **dict.fromkeys(("avoid", "cautions", "contraindications"), "write `for: {avoid: [pregnancy]}`"),
}

#: As a step, or beside what says which step it is.
IN_A_STEP: Mapping[str, str] = {
    **dict.fromkeys(("repeat", "repeats", "again"), _AGAIN),
    **dict.fromkeys(("teacher", "instructor"), _BY),
    **dict.fromkeys(("theme", "quote", "poem", "intention", "focus"), _SAID),
    **dict.fromkeys(("cue", "cues", "text", "speak", "instruction", "instructions", "note", "notes"), _WORDS),
    **dict.fromkeys(("duration", "length", "time", "stay", "breaths", "seconds", "minutes"), _HELD),
    **dict.fromkeys(("left", "right"), "write `side: left` or `side: right`, or `both sides:` around the steps"),
    "sides": "write `both sides:` around the steps",
    "transition": "write `enter: …` for the way in, `leave: …` for the way out",
    **{kind: f"write it in the `say:` of a pose: `- {kind}: …`" for kind in ("how", "offer", "safety")},
    "at": "words at a moment stand in the `say:` of a hold: `- how: …` with `at: …` below it",
}

#: As a step, or beside one, of what belongs to the class or a section.
OF_A_SECTION: Mapping[str, str] = {"music": "write `music: …` at the top of the file, or beside `section: …`"}

#: In a cue.
IN_A_CUE: Mapping[str, str] = dict.fromkeys(("say", "text", "cue", "words", "speak"), "write `how: …` for the words")
