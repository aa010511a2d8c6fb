"""The practice guide: a class written once as text, led aloud and rendered as a track.

`load` reads a class file and gives its problems as values, `make_ready` speaks, fits, plans and proves the class,
`moment` says what is under way at a time, `advise` what a colleague would say, and `write` makes files of it. All of
them raise `GuideError` for what a person has to be told, and print nothing. `guide/README.md` shows them at work.

Each name is brought in when it is first used, so that `import guide` costs nothing.
"""

__version__ = "0.1.0"

#: True to a type checker alone; `typing` is not imported for it.
TYPE_CHECKING = False

if TYPE_CHECKING:
    from guide.export.registry import write as write
    from guide.export.replacing import Replace as Replace
    from guide.plan.advice.view import Advice as Advice
    from guide.plan.moment import Moment as Moment
    from guide.plan.moment import Phase as Phase
    from guide.plan.moment import moment as moment
    from guide.plan.timeline import Chapter as Chapter
    from guide.plan.timeline import Cue as Cue
    from guide.plan.timeline import CuePart as CuePart
    from guide.plan.timeline import Dip as Dip
    from guide.plan.timeline import Dropped as Dropped
    from guide.plan.timeline import Note as Note
    from guide.plan.timeline import Ring as Ring
    from guide.plan.timeline import RingRole as RingRole
    from guide.plan.timeline import Span as Span
    from guide.plan.timeline import Timeline as Timeline
    from guide.problem import FaultyFile as FaultyFile
    from guide.problem import GuideError as GuideError
    from guide.problem import MachineTrouble as MachineTrouble
    from guide.problem import Place as Place
    from guide.problem import Problem as Problem
    from guide.problem import UnusableChoice as UnusableChoice
    from guide.ready.advise import advise as advise
    from guide.ready.load import LoadedClass as LoadedClass
    from guide.ready.load import load as load
    from guide.ready.make_ready import ReadyClass as ReadyClass
    from guide.ready.make_ready import make_ready as make_ready
    from guide.sequence.steps import Breath as Breath
    from guide.sequence.steps import CueKind as CueKind
    from guide.sequence.steps import Pace as Pace
    from guide.sequence.steps import Side as Side
    from guide.sequence.steps import StepKind as StepKind

#: Every public name, by the module that it is at home in.
_NAMES = {
    "guide.export.registry": ("write",),
    "guide.export.replacing": ("Replace",),
    "guide.plan.advice.view": ("Advice",),
    "guide.plan.moment": ("Moment", "Phase", "moment"),
    "guide.plan.timeline": (
        *("Chapter", "Cue", "CuePart", "Dip", "Dropped", "Note", "Ring", "RingRole", "Span", "Timeline"),
    ),
    "guide.problem": ("FaultyFile", "GuideError", "MachineTrouble", "Place", "Problem", "UnusableChoice"),
    "guide.ready.advise": ("advise",),
    "guide.ready.load": ("LoadedClass", "load"),
    "guide.ready.make_ready": ("ReadyClass", "make_ready"),
    "guide.sequence.steps": ("Breath", "CueKind", "Pace", "Side", "StepKind"),
}
_HOMES = {name: home for home, names in _NAMES.items() for name in names}

__all__ = sorted(_HOMES)

# To a type checker this would be a module in which every name is known.
if not TYPE_CHECKING:

    def __getattr__(name: str) -> object:
        if name not in _HOMES:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        from importlib import import_module

        found = globals()[name] = getattr(import_module(_HOMES[name]), name)
        return found


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
