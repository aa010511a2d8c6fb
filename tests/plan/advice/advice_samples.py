"""Classes to be read over: from their text to the advice on them."""

from pathlib import Path

from class_texts import expand

from guide.plan.advice.estimated_plan import estimated_view
from guide.plan.advice.registry import advise
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.expand import library_of
from guide.sequence.reader import look

CLASSES = Path(__file__).parent / "classes"

#: How fast the voice speaks in these classes.
RATE = 0.75

BEGIN = """
  - pose: easy seat
    hold: 4 breaths
    enter: Sit with your shins crossed.
"""

END = """
  - say: Come down, and roll over onto your back.
  - rest: 1 min
    pose: final rest
    enter: Let your feet fall open.
"""

COBRA = """
  - say: Lie down on your belly.
  - pose: cobra
    hold: 2 breaths
    enter: Lift your chest.
  - say: Press back, and come up onto your knees.
"""

CAMEL = """
  - pose: camel
    hold: 3 breaths
    enter: Reach back for your heels.
    say: {offer: Keep your hands on your hips.}
"""


def a_class(middle: str, top: str = "", begin: str = BEGIN, end: str = END) -> str:
    """A class that settles first and rests at the end, with these entries in between."""
    return f"title: A class\n{top}class:{begin}{middle}{end}"


def view_of(text: str) -> ClassView:
    """A class file as its rules see it."""
    made = look(text.encode(), "class.yaml", CLASSES)
    assert not made.problems, [str(problem) for problem in made.problems]
    assert made.class_file is not None
    return estimated_view(made.class_file, expand(made.class_file), library_of(made.class_file), RATE)


def advice_on(text: str) -> tuple[Advice, ...]:
    """What a colleague says to a class file."""
    return advise(view_of(text))


def rules_of(text: str) -> list[str]:
    """The names of the rules that have something to say to a class file, in the order of its lines."""
    return [advice.rule for advice in advice_on(text)]
