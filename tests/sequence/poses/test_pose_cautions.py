"""Who is warned of what: no pose of a kind that the trade warns of is without its caution."""

from collections.abc import Callable, Iterator

from rows import each_row

from guide.sequence.caution import CAUTION, STOP_SIGNS, caution
from guide.sequence.poses.pose import Base, Condition, Does, Pose, Strength
from guide.sequence.poses.shipped_library import shipped
from guide.sequence.shipped_folder import shipped_folder

POSES = list(shipped())

#: Words of a caution by which a pose is not done at all.
LEFT_OUT = ("Leave it out", "Leave this out")


def found(name: str) -> Pose:
    pose = shipped().find(name)
    assert pose is not None, name
    return pose


def loaded(pose: Pose) -> bool:
    return pose.strength is not Strength.GENTLE


#: Common practice, no source, unless the cautions themselves name one.
NEEDED: list[tuple[Condition, Callable[[Pose], bool]]] = [
    (Condition.OSTEOPOROSIS, lambda pose: Does.FOLD in pose.does),
    (Condition.OSTEOPOROSIS, lambda pose: Does.TWIST in pose.does),
    (Condition.OSTEOPOROSIS, lambda pose: pose.base is Base.INVERTED),
    (Condition.HEART, lambda pose: pose.base is Base.INVERTED),
    (Condition.HEART, lambda pose: Does.STRENGTH in pose.does and pose.strength is Strength.STRONG),
    (Condition.LOW_BLOOD_PRESSURE, lambda pose: pose.head_low),
    (Condition.BLOOD_PRESSURE, lambda pose: pose.head_low),
    (Condition.GLAUCOMA, lambda pose: pose.head_low),
    (Condition.HERNIA, lambda pose: Does.CORE in pose.does and pose.strength is Strength.STRONG),
    (Condition.HERNIA, lambda pose: pose.base in (Base.PRONE, Base.INVERTED)),
    (Condition.EPILEPSY, lambda pose: pose.base is Base.INVERTED),
    (Condition.SURGERY, lambda pose: pose.base in (Base.PRONE, Base.INVERTED, Base.ARM_BALANCE) and loaded(pose)),
    (Condition.SURGERY, lambda pose: Does.TWIST in pose.does),
    (Condition.PREGNANCY, lambda pose: pose.base in (Base.PRONE, Base.INVERTED)),
    (Condition.PREGNANCY, lambda pose: pose.head_low),
    (Condition.PREGNANCY, lambda pose: Does.BALANCE in pose.does and pose.base is Base.STANDING),
    (Condition.BALANCE, lambda pose: Does.BALANCE in pose.does and pose.base is Base.STANDING),
]


@each_row("condition, of_the_kind", NEEDED)
def test_every_pose_of_a_kind_has_its_caution(condition: Condition, of_the_kind: Callable[[Pose], bool]) -> None:
    poses = [pose for pose in POSES if of_the_kind(pose)]
    assert len(poses) >= 4
    assert [pose.name for pose in poses if condition not in pose.cautions] == []


HELD_OR_FAST = [
    (name, condition)
    for name in (
        "box breath",
        "four-seven-eight breath",
        "skull-shining breath",
        "bellows breath",
        "belly lock",
        "fire wash",
        "belly rolling",
    )
    for condition in (
        Condition.PREGNANCY,
        Condition.BLOOD_PRESSURE,
        Condition.GLAUCOMA,
        Condition.HEART,
        Condition.EPILEPSY,
    )
]


@each_row("name, condition", HELD_OR_FAST)
def test_a_breath_that_is_held_or_fast_has_its_cautions(name: str, condition: Condition) -> None:
    assert condition in found(name).cautions


@each_row("name", ["upward salute", "warrior one", "warrior two", "tree", "low lunge", "seated mountain"])
def test_arms_that_are_only_raised_are_no_matter_of_blood_pressure(name: str) -> None:
    assert Condition.BLOOD_PRESSURE not in found(name).cautions


def sent_to(pose: Pose, condition: Condition) -> Iterator[Pose]:
    """The poses that the caution of a pose names, its own name aside."""
    said = pose.cautions[condition].casefold()
    for other in POSES:
        if other is not pose and len(other.name) > 4 and f" {other.name}" in said.replace(",", ""):
            yield other


@each_row("condition", list(Condition))
def test_no_caution_sends_anybody_to_a_pose_that_the_same_caution_leaves_out(condition: Condition) -> None:
    for pose in POSES:
        for other in sent_to(pose, condition) if condition in pose.cautions else ():
            assert not other.cautions.get(condition, "").startswith(LEFT_OUT), (pose.name, other.name)


def test_the_words_for_everybody_name_who_should_ask_first_and_what_to_stop_at() -> None:
    for word in [
        "pain",
        "pressure in the chest",
        "pregnant",
        "surgery",
        "blood pressure too high or too low",
        "heart",
        "brittle bones",
        "epilepsy",
        "hernia",
        "glaucoma",
        "neck",
        "back",
        "shoulder",
        "wrist",
        "hip",
        "knee",
    ]:
        assert word in CAUTION, word


def test_pregnant_students_hear_when_to_stop_and_nobody_else_does() -> None:
    assert caution((Condition.WRIST, Condition.PREGNANCY)) == f"{CAUTION} {STOP_SIGNS}"
    assert caution((Condition.WRIST,)) == caution(()) == CAUTION
    for sign in ("bleeding", "fluid", "contractions", "chest", "calf"):
        assert sign in STOP_SIGNS


def test_one_word_for_the_doctor_throughout() -> None:
    texts = [CAUTION, STOP_SIGNS, *(said for pose in POSES for said in pose.cautions.values())]
    texts += [path.read_text("utf-8") for path in shipped_folder().rglob("*.yaml")]
    assert [text for text in texts if "clinician" in text] == []


#: Cautions that a review missed, by pose, each with words that it must have.
REVIEWED = [
    ("standing backbend", Condition.BLOOD_PRESSURE, "head up"),
    ("hands under feet fold", Condition.WRIST, "beside the feet"),
    ("warrior one", Condition.BACK, "ribs over the hips"),
    ("pyramid", Condition.BACK, "chair"),
    ("pyramid", Condition.HIP, "sitting bone"),
    ("wide-legged twist", Condition.PREGNANCY, "Leave the twist out"),
    ("twisting high lunge", Condition.KNEE, "front knee less"),
    ("high lunge", Condition.PREGNANCY, "chair"),
    ("three-legged dog", Condition.PREGNANCY, "wall"),
    ("dolphin", Condition.PREGNANCY, "table"),
    ("dolphin", Condition.BACK, "knees"),
    ("thread the needle", Condition.BLOOD_PRESSURE, "come up slowly"),
    ("cow", Condition.PREGNANCY, "arch small"),
    ("puppy", Condition.BLOOD_PRESSURE, "come up slowly"),
    ("puppy", Condition.PREGNANCY, "chair"),
    ("pigeon", Condition.KNEE, "heel close to the groin"),
    ("revolved head to knee", Condition.PREGNANCY, "upright"),
    ("wide-angle seated fold", Condition.PREGNANCY, "upright"),
    ("easy forward fold", Condition.GLAUCOMA, "head above the heart"),
    ("easy forward fold", Condition.BLOOD_PRESSURE, "come up slowly"),
    ("box breath", Condition.HEART, "lung"),
    ("four-seven-eight breath", Condition.HEART, "lung"),
    ("skull-shining breath", Condition.SURGERY, "Leave it out"),
    ("skull-shining breath", Condition.HERNIA, "Leave it out"),
]


@each_row("name, condition, words", REVIEWED)
def test_a_caution_that_was_missed_is_there(name: str, condition: Condition, words: str) -> None:
    assert words in found(name).cautions[condition]
