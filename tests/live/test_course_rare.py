"""What random orders to random classes have found, each kept as a class of its own."""

from live_courses import course

from guide.live.apply_order import apply_order
from guide.live.orders import Order


def test_a_shorter_hold_leaves_the_number_that_was_just_counted_its_quiet() -> None:
    """“Hold” ends less than a pause before its breath does: the hold cannot end with that breath."""
    pattern = "{inhale: 1 s, exhale: 1 s, empty: 1 s}"
    made = course(f"  - breathing: {pattern}\n    lasts: 6 breaths\n    count: voice\n")
    span = made.timeline.spans[0]
    fifth_ms = span.hold_ms + 4 * 3000
    last = max((cue for cue in made.timeline.cues if cue.start_ms < fifth_ms + 3000), key=lambda cue: cue.start_ms)
    assert last.words == "Hold" and fifth_ms + 3000 - 250 < last.end_ms < fifth_ms + 3000
    turn = apply_order(made, Order.SHORTER, fifth_ms + 2500)
    assert turn.told == "as short as it can be"
    # Before it is said, a breath can still be taken away.
    sooner = apply_order(made, Order.SHORTER, fifth_ms + 1500)
    assert sooner.course.timeline.spans[0].breaths == 5
