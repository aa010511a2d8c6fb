"""Captions beside the whole class file that is drafted from them."""

from guide.draft.class_text import SpokenWords
from guide.draft.from_captions import draft_class
from guide.review.captions.transcript import Transcript, read_raw
from guide.sequence.block_files import shipped_blocks
from guide.sequence.model import MoveEntry

CAPTIONS = """\
0:05 Good evening: "breathe" # softly. You have time.
0:20 Mountain, tadasana. Stand with your feet together.
0:26 Let your shoulders hang.
0:58 Inhale, lift your arms.
1:02 Exhale, let them sink.
1:06 Inhale, lift your arms.
1:10 Exhale, let them sink.
1:14 Inhale, sweep your arms up.
1:18 Exhale, fold forward from your hips.
1:22 Inhale, lift halfway, back long.
1:26 Exhale, step back and lower halfway.
1:30 Inhale, draw your chest forward and up.
1:34 Exhale, lift your hips, downward dog.
1:40 Press the floor away.
2:14 Inhale, step forward, lift halfway.
2:18 Exhale, fold over your legs.
2:22 Inhale, rise up, arms overhead.
2:26 Exhale, lower your arms, stand tall.
2:30 Inhale, step your right foot forward.
2:34 Warior two, right side. Bend your right knee.
2:42 Look out over your right hand.
3:16 Exhale, step back.
3:20 Inhale, step your left foot forward.
3:24 Warrior two, left side. Bend your left knee.
3:32 Look out over your left hand, and smile.
4:06 Exhale, step back.
4:10 Plank. One
4:18 two
4:26 three
4:36 Final rest. Lie down on your back.
7:00 Thank you.
"""

DRAFT = """\
# A draft from the captions of a class that was taught. The times are those of the recording.
# Look through what is marked `doubtful`, and change what you like. Lines that begin with # are never spoken.
title: "Evening"

# One breath, as the moves went.
pace: {inhale: 4 s, exhale: 4 s}

# Words of the pose library lead in (`library cues: no` leaves them out); rests in place of talk make room.

class:

  - section: Standing

  # 0:05 Good evening: "breathe" softly.
  # 0:08 You have time.
  - rest: 4 s

  # 0:20 Mountain, tadasana.
  # 0:22 Stand with your feet together.
  # 0:26 Let your shoulders hang.
  - pose: mountain
    hold: 36 s

  - rounds: 2
    of:

      # 0:58 Inhale, lift your arms.
      - inhale:

      # 1:02 Exhale, let them sink.
      - exhale:
      # Again, from 1:06:
      # 1:06 Inhale, lift your arms.
      # 1:10 Exhale, let them sink.

  # 1:14 Inhale, sweep your arms up.
  # 1:18 Exhale, fold forward from your hips.
  # 1:22 Inhale, lift halfway, back long.
  # 1:26 Exhale, step back and lower halfway.
  # 1:30 Inhale, draw your chest forward and up.
  # 1:34 Exhale, lift your hips, downward dog.
  # 1:40 Press the floor away.
  # 2:14 Inhale, step forward, lift halfway.
  # 2:18 Exhale, fold over your legs.
  # 2:22 Inhale, rise up, arms overhead.
  # 2:26 Exhale, lower your arms, stand tall.
  - block: sun salutation A

  - both sides:

      # 2:30 Inhale, step your right foot forward.
      - inhale:

      # doubtful at 2:34: `warrior two`, from what was heard as: Warior two, right side.
      # 2:34 Warior two, right side.
      # 2:36 Bend your right knee.
      # 2:42 Look out over your right hand.
      - pose: warrior two
        hold: 4 breaths

      # 3:16 Exhale, step back.
      - exhale:
      # The other side, from 3:20:
      # 3:20 Inhale, step your left foot forward.
      # 3:24 Warrior two, left side.
      # 3:26 Bend your left knee.
      # 3:32 Look out over your left hand, and smile.
      # 4:06 Exhale, step back.

  # 4:10 Plank.
  # 4:11 One
  # 4:18 two
  # 4:26 three
  - pose: plank
    hold: 3 breaths
    count: voice

  - section: Rest

  # 4:36 Final rest.
  # 4:37 Lie down on your back.
  - rest: 2:23
    pose: final rest

  # 7:00 Thank you.
"""

WORDS = """\
# A draft from the captions of a class that was taught. The times are those of the recording.
# Look through what is marked `doubtful`, and change what you like. Lines that begin with # are never spoken.
title: "Evening"

# One breath, as the moves went.
pace: {inhale: 4 s, exhale: 4 s}

# Take this line out to hear the words of the pose library in every pose that has none of its own.
library cues: no

class:

  - section: Standing

  - say:
      - 'Good evening: "breathe" softly.'
      - "You have time."
  - rest: 10 s

  - pose: mountain
    hold: 36 s
    name: none
    enter:
      - "Mountain, tadasana."
    say:
      - "Stand with your feet together."
      - "Let your shoulders hang."

  - rounds: 2
    of:

      - inhale: "lift your arms."

      - exhale: "let them sink."
      # Again, from 1:06:
      # 1:06 Inhale, lift your arms.
      # 1:10 Exhale, let them sink.

  # 1:14 Inhale, sweep your arms up.
  # 1:18 Exhale, fold forward from your hips.
  # 1:22 Inhale, lift halfway, back long.
  # 1:26 Exhale, step back and lower halfway.
  # 1:30 Inhale, draw your chest forward and up.
  # 1:34 Exhale, lift your hips, downward dog.
  # 1:40 Press the floor away.
  # 2:14 Inhale, step forward, lift halfway.
  # 2:18 Exhale, fold over your legs.
  # 2:22 Inhale, rise up, arms overhead.
  # 2:26 Exhale, lower your arms, stand tall.
  - block: sun salutation A

  - both sides:

      - inhale: "step your <side> foot forward."

      # doubtful at 2:34: `warrior two`, from what was heard as: Warior two, right side.
      - pose: warrior two
        hold: 4 breaths
        name: none
        enter:
          - "Warior two, <side> side."
          - "Bend your <side> knee."
        say:
          - "Look out over your <side> hand."

      - exhale: "step back."
      # The other side, from 3:20:
      # 3:20 Inhale, step your left foot forward.
      # 3:24 Warrior two, left side.
      # 3:26 Bend your left knee.
      # 3:32 Look out over your left hand, and smile.
      # 4:06 Exhale, step back.

  - pose: plank
    hold: 3 breaths
    count: voice
    name: none
    enter:
      - "Plank."

  - section: Rest

  - rest: 2:23
    pose: final rest
    name: none
    enter:
      - "Final rest."
    say:
      - "Lie down on your back."

  - say:
      - "Thank you."
"""


def heard(text: str) -> Transcript:
    return read_raw(text.encode(), "evening.txt")


def body(text: str) -> str:
    """The steps of the draft, with words kept as comments."""
    return draft_class(heard(text), "Evening", SpokenWords.COMMENTS).partition("class:\n")[2]


def test_what_was_said_stands_beside_the_steps_in_comments() -> None:
    assert draft_class(heard(CAPTIONS), "Evening", SpokenWords.COMMENTS) == DRAFT


def test_what_was_said_is_said_again() -> None:
    assert draft_class(heard(CAPTIONS), "Evening", SpokenWords.WORDS) == WORDS


def test_a_pose_that_is_only_spoken_of_is_not_drafted() -> None:
    said = "0:01 From downward dog, look forward. It is like a tree, or the crow.\n0:20 Lift, as in warrior two.\n"
    drafted = body(said)
    # What is drafted of two lines is told as a doubt; what people are only likened to is not told at all.
    assert drafted.count("pose:") == drafted.count("doubtful at")
    assert not any(f"pose: {name}" in drafted for name in ("tree", "crow", "warrior two"))
    before = "0:01 Downward dog, hips high, heels heavy.\n"
    in_a_class = body(before + said.replace("0:01", "0:40").replace("0:20", "1:00"))
    assert in_a_class.count("pose:") == in_a_class.count("pose: downward dog") == 1
    assert "doubtful" not in in_a_class


def test_a_breath_that_is_only_spoken_of_is_no_move() -> None:
    said = "0:01 The rising chime is for the inhale, the falling one for the exhale.\n0:20 With an inhale, lift.\n"
    assert "inhale:" not in body(said)
    assert "exhale:" not in body(said)


def test_the_pace_is_that_of_the_moves() -> None:
    said = "\n".join(f"0:{number * 5:02} {'Exhale' if number % 2 else 'Inhale'}, and on." for number in range(10))
    assert "pace: {inhale: 5 s, exhale: 5 s}" in draft_class(heard(said), "Slow", SpokenWords.COMMENTS)


def test_what_was_done_again_is_written_once_with_its_rounds() -> None:
    said = "\n".join(f"0:{each * 4:02} {'Exhale, close' if each % 2 else 'Inhale, open'}." for each in range(6))
    assert "- rounds: 3\n    of:\n" in body(said)


def test_the_left_side_first_is_told() -> None:
    said = "0:01 Tree, left side.\n0:40 Tree, right side.\n1:20 That is all.\n"
    assert "- both sides:\n\n" in body(said)
    assert "    first: left\n" in body(said)


def led(block: str, *sides: str) -> str:
    """A shipped block as it is said, once for each side, a move every four seconds."""
    lines, at_s = [], 10
    for side, other in zip(sides, reversed(sides), strict=True):
        for entry in shipped_blocks()[block].entries:
            cues = [entry.cue] if isinstance(entry, MoveEntry) and entry.cue else entry.enter
            breath = f"{entry.breath.value}, " if isinstance(entry, MoveEntry) else ""
            for cue in cues:
                text = cue.text.replace("<side>", side).replace("<other side>", other)
                lines.append(f"{at_s // 60}:{at_s % 60:02} {breath}{text}")
                at_s += 4
    return "\n".join(lines)


def test_a_salute_whose_sides_are_two_passes_is_the_block_on_both_sides() -> None:
    draft = body(led("twelve-position salute", "right", "left"))
    assert "  - both sides:\n" in draft
    assert draft.count("    - block: twelve-position salute\n") == 1
    assert "- inhale:" not in draft


def test_a_salute_done_on_one_side_alone_is_its_moves() -> None:
    draft = body(led("twelve-position salute", "right"))
    assert "block: twelve" not in draft
    assert draft.count("- inhale:") == 5


def test_a_salutation_with_both_sides_in_it_is_one_block() -> None:
    draft = body(led("sun salutation B", "right"))
    assert draft.count("- block: sun salutation B\n") == 1
    assert "both sides" not in draft


def test_one_side_alone_is_a_pose_with_a_side() -> None:
    assert "  - pose: tree\n    hold: 39 s\n    side: left\n" in body("0:01 Tree, left side.\n0:41 Rest your eyes.\n")


def test_a_name_said_twice_in_one_phrase_is_no_second_side() -> None:
    said = "0:01 Look over the right shoulder.\n0:09 Ardha Matsyendrasana, half lord of the fishes.\n"
    assert body(said + "0:20 Swap. Left foot over the right now.\n").count("- pose: half lord of the fishes\n") == 1


def steps(text: str) -> list[str]:
    """The lines of a draft that are steps, groups and sections, without comments."""
    return [line.strip() for line in body(text).splitlines() if line.strip().startswith("- ")]


def test_a_breath_that_is_called_twice_before_it_is_over_is_one_move() -> None:
    """Two seconds apart it is the same breath; eight seconds apart there was another between them."""
    called = "0:05 Mountain. Stand tall.\n0:40 Inhale.\n0:42 Inhale, lift your arms.\n0:46 Exhale, let them sink.\n"
    moves = [line for line in steps(called) if "hale" in line]
    assert moves == ["- inhale:", "- exhale:"]
    later = called.replace("0:40 Inhale.", "0:34 Inhale, look up.")
    assert [line for line in steps(later) if "hale" in line] == ["- inhale:", "- inhale:", "- exhale:"]


def test_breaths_that_are_called_again_with_hardly_a_word_are_rounds_of_those_with_words() -> None:
    """`In` and `and out` mean what was done before; `back up` and `step through` are moves of their own."""
    lead = "0:05 Hands and knees. Hands under your shoulders.\n"
    cow = "0:40 Inhale, let the belly sink.\n0:44 Exhale, round your back.\n0:48 Inhale.\n0:52 Exhale, and again.\n"
    assert steps(f"{lead}{cow}0:56 Inhale.\n1:00 Exhale.\n")[1:] == ["- rounds: 3", "- inhale:", "- exhale:"]
    flow = "0:40 Inhale, leg up.\n0:44 Exhale, knee to nose.\n0:48 Inhale, back up.\n0:52 Exhale, step through.\n"
    assert steps(f"0:05 Hands and knees.\n{flow}")[1:] == ["- inhale:", "- exhale:", "- inhale:", "- exhale:"]


#: Long stays on one base after the other; the chair among the seated ones is too short to part them.
BASES = """\
0:05 Easy seat. Sit tall.
1:40 Seated forward fold. Fold over both legs.
3:00 Stand up. Chair. Bend your knees, and sit back.
3:25 Bound angle. Soles of the feet together.
5:00 Mountain. Stand tall.
6:00 Inhale, lift your arms.
6:04 Chair. Bend your knees.
7:00 Mountain. Stand tall.
8:30 Exhale, come down to the floor.
8:34 Bridge. Lift your hips.
10:10 Happy baby. Take hold of your feet.
11:50 Final rest. Lie down on your back.
15:00 Roll over.
"""


def test_sections_are_named_where_a_class_changes_its_base() -> None:
    """Bases are those of the library: what carries the body. The way to the floor goes with what it leads to."""
    found = steps(BASES)
    sections = [line for line in found if "section" in line]
    names = ("Seated", "Standing", "On the back", "Rest")
    assert sections == [f"- section: {name}" for name in names]
    assert found[found.index("- section: On the back") + 1 :][:2] == ["- exhale:", "- pose: bridge"]
    assert found.index("- pose: chair") < found.index("- section: Standing")


def test_a_class_on_one_base_has_no_sections() -> None:
    assert not [line for line in steps(BASES.partition("5:00")[0]) if "section" in line]


def test_a_name_in_a_short_sentence_begins_a_pose_where_it_is_quiet_after_it() -> None:
    captions = """\
0:02 Welcome, everyone, good evening.
0:40 Come onto hands and knees, please.
1:19 And tuck your toes, downward facing dog. Stay here for five breaths.
2:05 Walk your feet to your hands, and roll up to stand. Mountain pose.
2:40 And come to lie down on your back for savasana.
6:00 Thank you for coming.
"""
    draft = draft_class(read_raw(captions.encode(), "evening.txt"), "Evening", SpokenWords.COMMENTS)
    assert "pose: final rest" in draft and "long, and no pose was named" not in draft


def test_breaths_called_with_fewer_words_are_rounds() -> None:
    captions = """\
0:40 Come onto hands and knees.
0:53 Inhale, lift your chest and look up.
0:57 Exhale, round your back.
1:01 Inhale, lift your chest.
1:05 Exhale, round.
1:09 Inhale, lift.
1:13 Exhale, round.
1:19 Tuck your toes, downward dog.
2:10 Thank you.
"""
    draft = draft_class(read_raw(captions.encode(), "backs.txt"), "Backs", SpokenWords.COMMENTS)
    assert "rounds: 3" in draft and draft.count("- inhale") == 1
    assert "pace: {inhale: 4 s, exhale: 4 s}" in draft and "# One breath, as the moves went." in draft
