"""Words that ask people to go through pain, or past their limit."""

import re
from collections.abc import Iterator

from guide.plan.advice.said import told
from guide.plan.advice.view import Advice, ClassView

NAME = "pain"

REASON = (
    "Pain is how a joint or a nerve says stop, and people in a group do what the voice says. What is strong may be "
    "stayed with; what hurts is come out of."
)

_PAIN = r"(?:pains?|hurt|hurting|aches?|aching|agony|stabbing|discomfort and pain|warning)\b"
_HURTS = r"(?:hurts?|aches?|burns?|stings?|is (?:very |really )?(?:painful|sore)|screams?|is screaming)\b"
_SOME = r"(?: (?:the|your|any|that|all|this|some|whatever|what|of|a|little|more|bit))*(?: (?!no\b|less\b)\w+)??"
_GO_ON = r"(?:push|breathe|work|go|move|press|power|fight|muscle|get|stretch|drive|lean|smile|stay)"
_ON = r"(?:deeper|further|farther|on|more|harder|lower|pushing|pulling|going)"

_PATTERN = re.compile(
    # Through what hurts, or with it as if it were welcome.
    rf"\b{_GO_ON}(?:ing)?(?: (?:right|deeply|deeper|slowly|straight|on|going))* "
    rf"(?:through|past|beyond|into|against|in|with|despite){_SOME} {_PAIN}"
    rf"|\b(?:ignore|disregard|forget|override|endure|bear|overcome|conquer|welcome|love|enjoy|embrace|accept|fight|"
    rf"beat|defeat|chase|seek){_SOME} (?:{_PAIN}|{_HURTS})"
    rf"|\b(?:do not|don['’]t|never) (?:give in|give up|yield|listen|surrender|pay attention|mind|stop|come out)"
    rf"(?: (?:to|because of|for|when|if|just because))?{_SOME} (?:{_PAIN}|{_HURTS})"
    # What hurts is good.
    r"|\bno pain,? no gain\b|\bpain (?:is|means|will) (?:(?!not|no|never)\w+ ){0,2}?(?:only|just|good|weakness|gain|"
    r"progress|temporary|pass|leaving|learning|growing|working|opening|friend|teacher)\b"
    r"|\bonly weakness\b|\bweakness leaving\b|\bsuffer(?:ing)? (?:to|for|makes|is)\b"
    rf"|\b(?:it|this|that) (?:should|must|has to|ought to|is (?:meant|supposed) to) (?:{_HURTS}|be painful)(?! nowhere)"
    rf"|\b(?:make it|let it|until it|till it) {_HURTS}"
    rf"|\b(?:it|this|that|your \w+|they) {_HURTS}[,;]? (?:good|great|perfect|all the better|that is (?:good|how))\b"
    # On, though it hurts.
    rf"|\b(?:even (?:if|when|though)|although|no matter how much|however much)(?: \w+){{0,2}} {_HURTS}"
    rf"|\b(?:if|when|where) (?:it|this|that|your \w+|they) {_HURTS}[^.;]{{0,20}}?[,;:]? "
    rf"(?:go|push|pull|keep|press|stretch|sink)(?: (?:a little|even|a bit|right|yourself))* {_ON}\b"
    r"|\bif it (?:hurts|burns)\W+(?:you are|you're|it is|it's|that is|that's|then it)\b(?! (?:too|not|time|a sign))"
    # Past the limit, or by force.
    r"|\b(?:push|go|stretch|force|press|pull|drive)(?:ing)?(?: (?:yourself|it|deeper|further|hard))? "
    r"(?:past|beyond|over|through) (?:your|the|all|any) (?:\w+ )?(?:limits?|edge|boundar(?:y|ies)|resistance)\b"
    r"|\bgrit your teeth\b|\bforce (?:your|yourself|it|the|that|this)\b",
    re.IGNORECASE,
)


def advise(view: ClassView) -> Iterator[Advice]:
    what, fix = "asks people to go through pain", "say what to do instead when it hurts: come up, or out"
    yield from told(view, NAME, _PATTERN, what, fix)
