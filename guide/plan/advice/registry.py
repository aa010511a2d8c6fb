"""All the rules of advice, and the one function that asks them."""

from collections.abc import Iterator, Mapping
from typing import Protocol

from guide.plan.advice import (
    after_rest,
    against_breath,
    backbend_to_fold,
    breath_twice,
    head_back,
    late_caution,
    late_strain,
    locked_joints,
    long_hold,
    long_move,
    many_cues,
    many_words,
    no_counter,
    no_easier_way,
    no_quiet,
    no_rest,
    no_settling,
    no_time_to_fetch,
    no_way,
    one_side,
    other_breath,
    other_count,
    pain,
    promise,
    said_again,
    sanskrit_alone,
    slow_breath,
    to_avoid,
    unannounced_prop,
    unknown_pose,
    unprepared,
    wrists,
    wrong_side,
)
from guide.plan.advice.view import Advice, ClassView


class Rule(Protocol):
    """One rule: a module with these three."""

    @property
    def NAME(self) -> str: ...

    @property
    def REASON(self) -> str: ...

    def advise(self, view: ClassView) -> Iterator[Advice]:
        """What there is to say of a class."""
        ...


#: Every rule by its name, in the order of `sequence/advice_names.py`.
RULES: Mapping[str, Rule] = {
    unknown_pose.NAME: unknown_pose,
    one_side.NAME: one_side,
    wrong_side.NAME: wrong_side,
    long_move.NAME: long_move,
    no_quiet.NAME: no_quiet,
    many_cues.NAME: many_cues,
    unprepared.NAME: unprepared,
    no_counter.NAME: no_counter,
    backbend_to_fold.NAME: backbend_to_fold,
    no_way.NAME: no_way,
    wrists.NAME: wrists,
    late_strain.NAME: late_strain,
    no_rest.NAME: no_rest,
    no_settling.NAME: no_settling,
    no_easier_way.NAME: no_easier_way,
    slow_breath.NAME: slow_breath,
    long_hold.NAME: long_hold,
    said_again.NAME: said_again,
    many_words.NAME: many_words,
    to_avoid.NAME: to_avoid,
    no_time_to_fetch.NAME: no_time_to_fetch,
    unannounced_prop.NAME: unannounced_prop,
    after_rest.NAME: after_rest,
    breath_twice.NAME: breath_twice,
    other_breath.NAME: other_breath,
    against_breath.NAME: against_breath,
    other_count.NAME: other_count,
    late_caution.NAME: late_caution,
    pain.NAME: pain,
    locked_joints.NAME: locked_joints,
    head_back.NAME: head_back,
    promise.NAME: promise,
    sanskrit_alone.NAME: sanskrit_alone,
}


def advise(view: ClassView) -> tuple[Advice, ...]:
    """All the advice on a class that its file does not silence, each once, sorted by place."""
    asked = (rule for name, rule in RULES.items() if name not in view.class_file.let_be)
    given = {
        (advice.place, advice.rule, advice.what, advice.fix): advice
        for rule in asked
        for advice in rule.advise(view)
        if not any(advice.rule in view.step(number).let_be for number in advice.steps)
    }
    return tuple(sorted(given.values()))
