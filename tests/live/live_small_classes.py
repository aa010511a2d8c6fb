"""Small classes to give random orders to, by what they are for."""

from live_courses import course

from guide.live.course import Course

#: Small classes by what they are for: their head, and their entries.
CLASSES = {
    "both sides": (
        "",
        """
  - pose: mountain
    hold: 5 breaths
    say: Stand.
  - both sides:
      - inhale: Step out.
      - pose: tree
        hold: 2 to 4 breaths
        say:
          - Look at one point.
          - offer: Or keep your toes on the floor.
            on: first side
      - exhale: Step back.
  - rest: 30 s to 2 min
""",
    ),
    "rounds": (
        "",
        """
  - say: Here we are.
  - rounds: 3
    of: cat and cow
  - pose: child's pose
    hold: 2 to 5 breaths
  - rest: 30 s to 1 min
    say: And rest.
""",
    ),
    "counted": (
        "",
        """
  - pose: plank
    hold: 4 to 6 breaths
    count: voice
    say: none
  - breathing: {inhale: 1 s, full: 1 s, exhale: 1 s, empty: 1 s}
    lasts: 5 to 8 breaths
    count: voice
  - pose: child's pose
    hold: 6 breaths
    count: chime
    say: Breathe as you like.
  - rest: 30 s to 1 min
    count: chime
""",
    ),
    "close words": (
        "",
        """
  - pose: downward dog
    hold: 2 to 3 breaths
    say:
      - Bend one knee, then the other, and walk your legs awake.
      - Press the floor away, and let your head hang between your arms.
      - offer: If your wrists are tender, come down to your forearms.
      - how: Breathe out.
        at: last breath
  - both sides:
      - pose: warrior II
        hold: 1 to 2 breaths
        say:
          - Bend the knee over the ankle, and look out over your hand.
          - how: Sink a little lower, and keep your shoulders where they are.
            at: breath 1
  - rest: 20 s to 2 min
""",
    ),
    "bells": (
        "bells:\n  class: both\n  section: both\n",
        """
  - section: One
  - pose: mountain
    hold: 3 breaths
    bell: both
  - section: Two
  - both sides:
      - pose: tree
        hold: 2 to 3 breaths
        bell: end
        say: none
  - silence: 20 s
  - section: Three
  - rest: 1 to 2 min
    bell: start
""",
    ),
}

_made: dict[str, Course] = {}


def class_of(name: str) -> Course:
    if name not in _made:
        head, entries = CLASSES[name]
        _made[name] = course(entries, head)
    return _made[name]
