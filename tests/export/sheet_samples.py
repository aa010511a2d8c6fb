"""Classes of our own to be put on paper, planned without a voice, and their sheets."""

from functools import cache
from pathlib import Path

from guide.export.sheet.collect import sheet_of, with_script
from guide.export.sheet.content import ClassSheet, SheetLook
from guide.plan.estimate import EstimatedLengths
from guide.plan.timeline import Timeline
from guide.ready.choices import VoiceChoice
from guide.ready.load import load, load_text
from guide.ready.make_ready import OpenClass
from guide.sequence.expand import library_of
from guide.sequence.steps import Steps

SEQUENCES = Path(__file__).resolve().parents[2] / "sequences"
SHIPPED = {path.stem: path for path in sorted(SEQUENCES.glob("*.yaml"))}

#: Rounds in sides, sides in rounds, something between two sides, a pose that nobody drew, and a pose written per side.
JETTY = """\
title: On the jetty, śānti & <peace>
by: Reed House by the lake
slot: 20 min
poses:
  heron at dusk: {base: standing}
class:
  - section: Wading
  - both sides:
      - rounds: 2
        of:
          - inhale: Sweep the <side> arm up.
          - exhale: Fold to the <side>.
            pose: standing side bend
      - pose: tree
        hold: 5 breaths
        say:
          - Grow tall, and taller.
          - offer: Toes on the floor.
    between:
      - say: Shake out both legs.
  - section: Birds
  - rounds: 2
    of:
      - both sides:
          - pose: heron at dusk
            hold: 3 breaths
            say: Keep your gaze over the water, soft and wide.
  - pose: pigeon
    side: right
    hold: 4 breaths
  - pose: pigeon
    side: left
    hold: 4 breaths
  - section: Rest
  - pose: final rest
    hold: 3 to 12 min
"""

#: Ninety minutes without an end to its flows.
REGATTA = (
    """\
title: Regatta, ninety minutes
slot: 90 min
class:
"""
    + "".join(
        f"""\
  - section: Leg {number} of the course
  - rounds: 3
    of: sun salutation A
  - both sides:
      - pose: warrior one
        hold: 5 to 8 breaths
      - pose: warrior two
        hold: 5 to 8 breaths
      - pose: triangle
        hold: 5 to 8 breaths
      - exhale: Step to the front.
        pose: standing forward fold
  - pose: chair
    hold: 5 breaths
  - pose: boat
    hold: 4 to 8 breaths
"""
        for number in range(1, 9)
    )
    + """\
  - section: Ashore
  - pose: final rest
    hold: 5 to 30 min
"""
)

#: No section, words that do not end, letters of other scripts, and everybody to be spared.
FOG = f"""\
title: Fog {"and more fog " * 12}
slot: 12 min
for: {{avoid: [pregnancy, blood pressure, glaucoma, neck, back, shoulder, wrist, hip, knee, hernia, heart]}}
class:
  - say: {"mist " * 90}now.
  - pose: {"a long-legged wader's stance over the reeds " * 3}
    hold: 3 breaths
    say: Supercalifragilistic{"waterlilies" * 12}.
  - pose: downward dog
    hold: 4 breaths
  - pose: plough
    hold: 3 breaths
  - pose: 静かな湖
    name: none
    hold: 2 breaths
  - pose: final rest
    hold: 2 to 9 min
"""

#: A long group that begins at the end of a row, with a mark wider than its first figure.
HARBOUR = """\
title: Harbour stretch
class:
  - section: Arriving
  - pose: easy seat
    hold: 6 breaths
  - section: Standing
  - both sides:
      - pose: tree
        hold: 5 breaths
  - pose: warrior three
    hold: 3 breaths
  - pose: easy seat
    hold: 3 breaths
  - rounds: 3
    of: sun salutation A
"""

OWN = {"harbour": HARBOUR, "jetty": JETTY, "regatta": REGATTA, "fog": FOG}


@cache
def planned(name: str) -> tuple[OpenClass, Steps, Timeline]:
    """A shipped class or one of ours by its name, its steps and its plan; words last as long as is estimated."""
    loaded = load_text(OWN[name], f"{name}.yaml", SEQUENCES) if name in OWN else load(SHIPPED[name])
    opened = OpenClass.of(loaded, VoiceChoice(), None)
    return opened, *opened.planned(EstimatedLengths(opened.settings.rate))


def sheet(name: str, look: SheetLook | None = None) -> ClassSheet:
    """Its sheet."""
    opened, steps, timeline = planned(name)
    written = opened.class_file
    return sheet_of(written, steps, timeline, library_of(written), look or SheetLook())


def whole_sheet(name: str, look: SheetLook | None = None) -> ClassSheet:
    """Its sheet with a script."""
    return with_script(sheet(name, look), planned(name)[2])
