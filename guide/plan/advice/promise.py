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

_ILLS = (
    r"(?:(?:\w+ ){0,2}(?:pain|pains|aches?|asthma|diabetes|depression|anxiety|insomnia|arthritis|migraines?|headaches?|"
    r"cancer|hypertension|blood pressure|sciatica|osteoporosis|infertility|scoliosis|allerg(?:y|ies)|colds|flu|"
    r"constipation|diseases?|illness(?:es)?|ailments?|indigestion|varicose veins|slipped dis[ck]))\b"
)
_INNER = (
    r"(?:(?:\w+ ){0,2}(?:liver|kidneys?|thyroid|glands?|organs|blood|lymph|immune system|immunity|metabolism|hormones|"
    r"pancreas|spleen|intestines|colon|bowels|heart|lungs|nervous system|spine|back|body|hormonal balance))\b"
)
_PATTERN = re.compile(
    # Who cures is the pose: "heals your thyroid", "will cure", "to detox".
    r"\b(?:cures|heals|detoxes|detoxifies|purifies|rejuvenates) (?:your|the|all|any|every|a|an|many|most|up|you|"
    rf"{_ILLS}|{_INNER})"
    rf"|\b(?:will|can|to|it|this|and|helps?|is known to|is said to) (?:help )?(?:cure|heal|detox|detoxify|purify)"
    rf"(?: (?:your|the|all|any|every))* (?:{_ILLS}|{_INNER})"
    rf"|\b(?:cleanses?|flush(?:es)?|wash(?:es)?|wrings?|squeezes?|clears?)(?: out)?(?: (?:your|the|all|any))* "
    r"(?:\w+ )?(?:liver|kidneys|organs|blood|lymph|intestines|colon|bowels|toxins)\b"
    r"|\btoxins\b"
    rf"|\b(?:prevents?|treats?|reverses?|eliminates?|relieves?|fix(?:es)?|banish(?:es)?|gets? rid of|fights?|beats?|"
    rf"works? against|protects? (?:you )?(?:from|against)|free(?:s)? you (?:of|from)|rid(?:s)? you of)"
    rf"(?: (?:your|the|all|any|every))* {_ILLS}"
    rf"|\b(?:boosts?|resets?|regulates?|stimulates?|strengthens?|balances?|repairs?|fires? up|activates?)"
    r"(?: (?:your|the))* (?:\w+ )?(?:immune system|immunity|metabolism|thyroid|hormones|glands?|pancreas)\b"
    rf"|\b(?:your|the|all|any) {_ILLS}(?: \w+){{0,2}} (?:will|shall|is going to|are going to) "
    r"(?:be gone|be healed|be cured|disappear|vanish|go away|leave|melt away|go)\b"
    rf"|\btakes? away (?:your|the|all|any) {_ILLS}|\btakes? (?:your|the|all|any) {_ILLS} away\b"
    r"|\bnever (?:be|get|fall) (?:ill|sick)\b|\b(?:burns?|melts?)(?: (?:belly|the|your|off|away))* fat\b"
    rf"|\b(?:cure|remedy|medicine) (?:for|against) (?:your |the |all |any )?{_ILLS}"
    rf"|\b(?:no more|never again) {_ILLS}",
    re.IGNORECASE,
)


def advise(view: ClassView) -> Iterator[Advice]:
    fix = "say what people may feel, and promise nothing"
    yield from told(view, NAME, _PATTERN, "promises healing", fix)
