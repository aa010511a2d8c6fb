"""The likeliest reading of a class: its chain beside all chains counted out, and what was learned."""

from dataclasses import replace
from itertools import pairwise, product

import numpy as np
import pytest
from learn_reading import Learner, Lesson, drawn, kept, learned_from, lesson
from scripted import scripted
from talked import PUT_AWAY, captions, names, talked

from guide.draft.phrases import Phrase, Token, phrases
from guide.draft.pose_naming import naming_of
from guide.draft.reading import weights
from guide.draft.reading.all_poses import all_poses, number_of
from guide.draft.reading.chain import best_path, chances
from guide.draft.reading.likeliest import Stay, _kept_ms
from guide.draft.reading.scores import Scores, chosen, length_of, scores
from guide.draft.reading.signs import Signs, signs_of, telling
from guide.draft.reading.weights import LENGTHS, learned

#: Common practice, no source.
TOLD = {
    "tree": "Bring the sole of your foot to the inside of the standing leg and find your balance",
    "child's pose": "Sink your hips back onto your heels and rest your forehead on the mat",
    "bridge": "Press into your feet and peel your hips off the floor, one vertebra after another",
    "lying twist": "Drop both knees over to one side and turn your head away from them",
    "final rest": "Palms up, eyes closed, legs long, there is nothing more to do",
}


def some_scores(count: int = 4, width: int = 2) -> Scores:
    """Scores by chance for some phrases and things to be in."""
    chance = np.random.default_rng(1)
    shapes = {
        "sums": (count + 1, width), "starts": (count, width), "ends": (count + 1,), "outside": (count,),
        "after": (width + 1, width), "again": (count, width), "last": (width,), "lengths": (LENGTHS, width),
    }  # fmt: skip
    tables = {name: chance.normal(size=shape) for name, shape in shapes.items()}
    return Scores(np.arange(width), **tables, length_of=length_of(np.arange(count + 1) * 9_000))


def every_chain(made: Scores, at: int = 0, before: int = -1) -> list[tuple[float, tuple[tuple[int, int, int], ...]]]:
    """All chains from a phrase on, each with its score, by going through them one by one."""
    count, width = made.starts.shape
    if at == count:
        return [(float(made.last[before]) if before >= 0 else 0.0, ())]
    found = [(value + made.outside[at], stays) for value, stays in every_chain(made, at + 1, before)]
    for end, state in product(range(at + 1, at + 1 + len(made.length_of[at])), range(width)):
        own = made.starts[at, state] + made.sums[end, state] - made.sums[at, state] + made.ends[end]
        own += made.lengths[made.length_of[at][end - at - 1], state] + made.after[before, state]
        own += made.again[at, state] if state == before else 0
        found.extend((own + value, ((at, end, state), *stays)) for value, stays in every_chain(made, end, state))
    return found


def test_the_best_chain_is_the_best_of_all() -> None:
    made = some_scores()
    assert tuple(best_path(made)) == max(every_chain(made))[1]


def test_chances_are_those_over_all_chains() -> None:
    made = some_scores()
    chains = every_chain(made)
    whole = np.log(sum(np.exp(value) for value, _ in chains))
    found = chances(made)
    assert found.whole == pytest.approx(whole)
    within, starts = np.zeros_like(found.within), np.zeros_like(found.starts)
    for value, stays in chains:
        for start, end, state in stays:
            within[start:end, state] += np.exp(value - whole)
            starts[start, state] += np.exp(value - whole)
    assert found.within == pytest.approx(within)
    assert found.starts == pytest.approx(starts)


def test_no_stay_goes_across_an_edge() -> None:
    lengths = length_of(np.arange(7) * 9_000, (2, 5))
    assert [len(each) for each in lengths] == [2, 1, 3, 2, 1, 1]


def a_lesson() -> Lesson:
    """A lesson of a few phrases with two stays, and people settled in the first."""
    words = tuple(frozenset(each.split()) for each in ("lift foot", "foot calf", "breathe", "lie down", "rest"))
    named, poses = np.zeros((5, len(all_poses()))), number_of()
    named[1, poses["tree"]] = 2.0
    other_side = np.array([0, 0.5, 0, 1.0, 0])
    signs = Signs(np.arange(6) * 9_000, words, words, named, other_side, np.array([False] * 4 + [True]))
    stays = (0, 2, poses["tree"]), (2, 3, poses["tree"]), (3, 5, poses["final rest"])
    return Lesson("made", signs, stays, ((range(1, 2), 0), (range(4, 5), 0)))


def a_learner(one: Lesson) -> Learner:
    rows = {word: row for row, word in enumerate(sorted(frozenset().union(*one.signs.words)))}
    learner = Learner(rows, rows)
    chance = np.random.default_rng(2)
    learner.tied = {name: each + chance.normal(scale=0.3, size=each.shape) for name, each in learner.tied.items()}
    return learner


def test_the_slopes_are_those_of_the_likelihood() -> None:
    """Beside differences in the value for a little more and a little less of each weight."""
    one = a_lesson()
    learner = a_learner(one)
    words, around = (drawn(one.signs.words, learner.word_rows) for _ in range(2))

    def value() -> float:
        return learner.slopes(one, words, around)[0]

    _, found, rows = learner.slopes(one, words, around)
    poses = number_of()
    for name, place in {
        "told": (1, poses["tree"]), "leads": (2, poses["final rest"]), "begins": (0,), "ends": (3,), "outside": (2,),
        "moves": (1,), "salutation": (4,), "lengths": (2, 5), "follows": (poses["tree"], poses["final rest"]),
        "bases": (3, 4), "usual": (poses["tree"],), "parts": (2, 3), "last": (poses["final rest"],),
        "scales": (3,),
    }.items():  # fmt: skip
        here = (rows[name][place[0]], *place[1:]) if name in rows else place
        kept_value = learner.tied[name][here]
        learner.tied[name][here] = kept_value + 1e-4
        more = value()
        learner.tied[name][here] = kept_value - 1e-4
        less = value()
        learner.tied[name][here] = kept_value
        assert found[name][place] == pytest.approx((more - less) / 2e-4, abs=2e-4), name


def test_what_is_learned_is_likelier_after_a_step() -> None:
    one = a_lesson()
    learner = a_learner(one)
    words, around = (drawn(one.signs.words, learner.word_rows) for _ in range(2))
    before, found, rows = learner.slopes(one, words, around)
    learner.step(found, rows, 0.001)
    assert learner.slopes(one, words, around)[0] > before


def test_what_is_kept_is_what_was_learned(tmp_path, monkeypatch: pytest.MonkeyPatch) -> None:
    learner = a_learner(a_lesson())
    kept(learner, tmp_path / "learned.npz")
    monkeypatch.setattr(weights, "LEARNED", tmp_path / "learned.npz")
    found, made = learned.__wrapped__(), learner.weights()
    rows = np.array([made.word_rows[word] for word in found.word_rows])
    told = found.told[np.arange(len(found.word_rows))]
    assert told == pytest.approx(made.told[rows], abs=0.5 / weights.STEPS + 1e-6)
    for name in ("begins", "follows", "parts", "lengths", "last"):
        assert getattr(found, name) == pytest.approx(getattr(made, name), abs=0.01), name


def test_a_pose_that_was_never_learned_is_as_likely_as_the_mean(monkeypatch: pytest.MonkeyPatch) -> None:
    first, *others = all_poses()
    rows, known = np.arange(100), learned().told
    monkeypatch.setattr(weights, "all_poses", lambda: (replace(first, name="a new pose"), *others))
    monkeypatch.setattr(weights, "usual_after", lambda: 0.0)
    told, known = learned.__wrapped__().told[rows], known[rows]
    assert told[:, 0] == pytest.approx(known.mean(axis=1), abs=1e-4)
    assert (told[:, 1:] == known[:, 1:]).all()


@pytest.mark.parametrize("pose", TOLD)
def test_a_pose_is_the_likeliest_where_people_are_told_to_do_it(pose: str) -> None:
    known = learned()
    words = chosen([telling(TOLD[pose].lower().replace(",", "").split())], known.word_rows)
    assert all_poses()[int(words.sums(known.told)[0].argmax())].name == pose


def test_words_near_each_other_are_pairs_in_any_order() -> None:
    assert telling(["feet", "together"]) == telling(["together", "feet"])
    assert "feet together" in telling(["feet", "together"])


def test_each_phrase_is_somewhere() -> None:
    """Of a whole class: in one thing or in none, over all chains."""
    talk = talked(PUT_AWAY, names(PUT_AWAY)[0])
    said = phrases(captions(talk, "eight words"))
    known, signs = learned(), signs_of(said, talk.length_ms, naming_of(said))
    made = scores(signs, known, chosen(signs.words, known.word_rows), chosen(signs.around, known.sign_rows))
    within = chances(made).within
    assert within.min() >= -1e-6
    assert within.sum(axis=1).max() <= 1 + 1e-6


@pytest.mark.slow
def test_what_was_done_is_likelier_after_each_round() -> None:
    """Of a talked class and a scripted one; the last rounds are taken together."""
    lessons = [lesson(talked(PUT_AWAY, names(PUT_AWAY)[0]), "eight words"), lesson(scripted(0), "lines")]
    lines: list[str] = []
    learned_from(lessons, 3, lines.append)
    values = [float(line.rpartition(" ")[2]) for line in lines]
    assert values == sorted(values)
    assert values[-1] > values[0] + 100


def test_people_are_settled_when_a_hold_is_likeliest_about_right() -> None:
    """The second of four phrases alone is likeliest, but the last two lie near each other, and a hold may be right for
    both."""
    edges_ms = (0, 5_000, 40_000, 42_000, 100_000)
    said = [Phrase((Token("on", "on", start, end, True),)) for start, end in pairwise(edges_ms)]
    starts_ms, usually, stay = np.array(edges_ms), np.zeros(8), Stay(0, 4, "tree", 0.0, 1.0)

    def held_ms(*likely: float) -> int:
        kept_ms = _kept_ms(stay, np.log(likely), usually, starts_ms, said)
        assert kept_ms is not None
        return 100_000 - kept_ms

    assert 0.8 * 60_000 <= held_ms(1, 5, 4, 4) <= 1.2 * 58_000
    assert 0.8 * 95_000 <= held_ms(1, 50, 4, 4) <= 100_000
    assert _kept_ms(Stay(0, 1, "tree", 0.0, 1.0), np.zeros(4), usually, starts_ms, said) is None
