"""Promises of healing."""

import re
from collections.abc import Iterator

from guide.plan.advice.said import told
from guide.plan.advice.view import Advice, ClassView

NAME = "promise"

REASON = (
    "No pose is known to cure an illness or to cleanse an organ, and who believes it may put off a doctor. What people "
    "may feel can be said, and for many that is enough."
)

_OF = r"(?:(?:your|the|all|any|every|a|an|most|many|of|away|off|out|up|down|back|from)[ ])*(?:\w+[ ]){0,2}?"
_ILLS = (
    rf"(?:{_OF}(?:pains?|aches?|asthma|diabetes|depressions?|anxiety|insomnia|arthritis|migraines?|headaches?|cancer|"
    r"hypertension|blood pressure|sciatica|osteoporosis|infertility|scoliosis|allerg(?:y|ies)|colds|flu|constipation|"
    r"diseases?|illness(?:es)?|ailments?|indigestion|varicose veins|slipped dis[ck]|infections?|ag(?:e)?ing|"
    r"burn-?out|trauma)\b)"
)
_INNER = (
    rf"(?:{_OF}(?:liver|kidneys?|thyroid|glands?|organs?|blood|lymph|lymphatic system|immune system|immunity|"
    r"metabolism|hormones?|pancreas|spleen|intestines|colon|bowels|nervous system|hormonal balance|digestive system)\b)"
)
_BODY = rf"(?:{_INNER}|{_OF}(?:heart|lungs|spine|back|body|discs?|knees?|joints?|brain)\b)"
#: Verbs whose subject is the pose, so that they promise: `heals`, `will heal`, `helps to heal`.
_POSE_WILL = r"\b(?:will|can|helps?|is (?:known|said) to)(?: to| help| really| even)* "
_HEALS = (
    r"(?:\b(?:cures|heals|repairs|fixes|detoxes|detoxifies|purifies|cleanses|rejuvenates)"
    rf"|{_POSE_WILL}(?:cure|heal|repair|fix|detox|detoxify|purify|cleanse|rejuvenate))"
)
_ENDS = (
    r"(?:\b(?:prevents|treats|reverses|eliminates|relieves|banishes|gets rid of|fights|beats|works against|stops|"
    r"ends|frees you (?:of|from)|rids you of|dissolves|takes away|lowers|normali[sz]es|reduces|removes|"
    r"protects (?:you )?from)"
    rf"|{_POSE_WILL}(?:prevent|treat|reverse|eliminate|relieve|banish|get rid of|fight|beat|stop|end|"
    r"free you (?:of|from)|dissolve|take away|lower|normali[sz]e|reduce|remove|protect (?:you )?(?:from|against)))"
)
_WORKS_ON = (
    r"(?:\b(?:boosts|resets|regulates|stimulates|strengthens|balances|fires up|activates|drains|tones|clears|cleans|"
    r"(?:flush|wash|wring|squeeze|drain)(?:e?s)?)"
    rf"|{_POSE_WILL}(?:boost|reset|regulate|stimulate|strengthen|balance|activate|clear|clean))"
)

_PATTERN = re.compile(
    rf"{_HEALS} (?:{_ILLS}|{_BODY}|you\b)|{_ENDS} {_ILLS}|{_WORKS_ON} {_INNER}|\btoxins\b"
    rf"|\btakes? {_ILLS} away\b|\b(?:burns?|melts?) {_OF}fat\b|\byou(?: will|['’]ll) lose weight\b"
    r"|\b(?:brings?|gets?) (?:your|the) blood pressure (?:back |down )*(?:to normal|down)\b"
    # What will be gone, and what will not be needed.
    rf"|\b(?:your|the|all|any) {_ILLS}(?: \w+){{0,2}} (?:(?:will|shall|is going to|are going to) (?:be gone|be healed|"
    r"be cured|disappear|vanish|go away|leave|melt away|go|never (?:return|come back))|(?:is|are) (?:gone|cured))\b"
    r"|\b(?:never|no longer|not|n['’]t) (?:\w+ )?need(?:ing)?(?: (?:a|your|any|the|another))* "
    r"(?:doctors?|tablets?|pills?|medicines?|medication|drugs|operation|surgery)\b"
    r"|\bnever (?:be|get|fall) (?:ill|sick)\b"
    rf"|\b(?:cure|remedy) (?:for|against) {_ILLS}|\b(?:no more|never again) {_ILLS}",
    re.IGNORECASE,
)


def advise(view: ClassView) -> Iterator[Advice]:
    fix = "say what people may feel, and promise nothing"
    yield from told(view, NAME, _PATTERN, "promises healing", fix)
