"""Words as written become words as said: numbers, units, sides and signs; nothing that can be spoken is lost."""

import pytest
from hibari.g2p import numbers as other_numbers
from hypothesis import given, settings
from hypothesis import strategies as st
from rows import each_row

from guide.voice.normalise import folded, normalised
from guide.voice.number_words import TOO_LARGE, cardinal, decimal, fraction, ordinal

CASES = {
    "Hold for 90 s.": "Hold for ninety seconds.",
    "Hold for 90s": "Hold for ninety seconds.",
    "1 s": "one second.",
    "Stay 5 breaths": "Stay five breaths.",
    "2 min": "two minutes.",
    "1 min": "one minute.",
    "10 min.": "ten minutes.",
    "2.5 min": "two point five minutes.",
    "a 5-minute rest": "a five-minute rest.",
    "1:30": "one minute and thirty seconds.",
    "0:45": "forty-five seconds.",
    "1:02:03": "one hour, two minutes and three seconds.",
    "1:30-2:00": "one minute and thirty seconds to two minutes.",
    "10:30 am": "ten thirty in the morning.",
    "Breathe 1:2, then 1:4:2": "Breathe one to two, then one to four to two.",
    "4-7-8": "four, seven, eight.",
    "1/2 bind": "one half bind.",
    "½ bind": "one half bind.",
    "1½ turns": "one and a half turns.",
    "2 3/4 turns": "two and three quarters turns.",
    "1/3 & 2/3": "one third and two thirds.",
    "3-5 breaths": "three to five breaths.",
    "3 – 5 breaths": "three to five breaths.",
    "10-15 s": "ten to fifteen seconds.",
    "30 s-45 s": "thirty seconds to forty-five seconds.",
    "1st, 2nd, 3rd, 23rd": "first, second, third, twenty-third.",
    "in your 60s": "in your sixties.",
    "1,000 steps": "one thousand steps.",
    "007": "zero zero seven.",
    "-5 degrees": "minus five degrees.",
    "90°": "ninety degrees.",
    "50%": "fifty percent.",
    "3x, x3, ×3": "three times, three times, three times.",
    "L side": "left side.",
    "Step your R foot": "Step your right foot.",
    "(L) leg": "left leg.",
    "L/R": "left or right.",
    "hands/feet": "hands or feet.",
    "w/ a block, w/o a strap": "with a block, without a strap.",
    "5 breaths (or more)": "five breaths, or more.",
    "Rest [or not].": "Rest, or not.",
    "{as you like}": "as you like.",
    "breathe & move": "breathe and move.",
    "warrior II": "warrior two.",
    "Warrior I, then": "Warrior one, then.",
    "I am here": "I am here.",
    "e.g. a block": "for example, a block.",
    "block, strap, etc.": "block, strap, and so on.",
    "now — go": "now, go.",
    "Wait… then": "Wait... then.",
    "Don’t “lock” it": "Don't lock it.",
    "hip-width": "hip-width.",
    "🙏 Namaste 🧘🏽‍♀️": "Namaste.",
    "Is it 5?": "Is it five?",
    "first\nsecond": "first second.",
    "Tāḍāsana": "Tāḍāsana.",
    "café": "café.",
    "प्राण": "प्राण.",
}


@each_row("written, said", CASES.items())
def test_words_are_said_as_a_person_would_read_them(written: str, said: str) -> None:
    assert normalised(written) == said


@pytest.mark.parametrize("nothing", ["", " ", "🙏", "***", "—", "[]", "(!)", "\u200d", "?!"])
def test_a_text_with_nothing_to_say_is_empty(nothing: str) -> None:
    assert normalised(nothing) == ""


@given(st.text(max_size=200))
@settings(deadline=None, max_examples=300)
def test_what_is_said_holds_only_letters_and_marks_of_speech(text: str) -> None:
    said = normalised(text)
    assert all(char in " .,;:!?'-" or char.isalpha() or not char.isascii() for char in said)
    assert not any(char.isdecimal() and char.isascii() for char in said)
    assert said == "" or said[-1] in ".!?"


PLAIN = ("stand", "fold", "breathe", "lift", "your", "arms", "and", "legs", "slowly", "now")


@given(st.lists(st.sampled_from(PLAIN), min_size=1))
@settings(deadline=None, max_examples=50)
def test_plain_words_stay_as_they_are(words: list[str]) -> None:
    assert normalised(" ".join(words)) == " ".join(words) + "."


def test_other_spellings_lose_their_marks_and_other_scripts_do_not() -> None:
    assert folded("Café, Łódź, straße, ø, प्रा, Ж") == "Cafe, Lodz, strasse, o, प्रा, Ж"


@each_row("number", [*range(131), 199, 200, 999, 1000, 1001, 1100, 1234, 20_021, 999_999, 1_000_001])
def test_numbers_agree_with_the_words_of_another_library(number: int) -> None:
    """Outside check: the word lists of hibari-tts, which follow num2words; it sets commas, we do not."""
    assert cardinal(number) == other_numbers.cardinal(number).replace(",", "")
    assert ordinal(number) == other_numbers.ordinal(number).replace(",", "")


def test_numbers_at_the_edges() -> None:
    assert cardinal(TOO_LARGE) == "one" + " zero" * 9
    assert decimal("2", "05") == "two point zero five"
    assert fraction(3, 4) == "three quarters"
    with pytest.raises(ValueError, match="not negative"):
        cardinal(-1)
