"""What keys were taught: kept in a file for people, changed by the line, and told at its place where it is wrong."""

import os
from pathlib import Path

import pytest
from examples import tried
from hypothesis import given
from hypothesis import strategies as st
from rows import each_row

from guide.live.key_bindings import bindings, forget, keys_path, learn, learned, order_called
from guide.live.key_file import BEGINNING, MOST_BYTES, KeyLine, entries
from guide.live.key_names import KERNEL
from guide.live.keys import KEYS
from guide.live.orders import Order
from guide.problem import FaultyFile, MachineTrouble, UnusableChoice

WRITTEN = """\
# The pedal of the studio.
page down: longer   # its right switch
Page_Up: nothing

# The old remote.
".": next
button 17 long:   Other Side
# The end.
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "keys.yaml"


def faults(file: Path, text: str) -> str:
    file.write_text(text, encoding="utf-8")
    with pytest.raises(FaultyFile) as caught:
        bindings(file)
    return str(caught.value).replace(str(file), "keys.yaml")


def test_without_a_file_keys_ask_for_the_usual(file: Path) -> None:
    assert bindings(file) == KEYS
    assert learned(file) == {}


def test_what_was_taught_goes_over_the_usual(file: Path) -> None:
    file.write_text(WRITTEN)
    taught = {
        "page down": Order.LONGER,
        "page up": None,
        ".": Order.NEXT,
        "button 17 long": Order.OTHER_SIDE,
    }
    assert learned(file) == taught
    assert bindings(file) == {**KEYS, **taught}


def test_the_file_is_where_the_system_keeps_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    monkeypatch.setattr("sys.platform", "linux")
    learn("f9", Order.REST)
    assert keys_path().name == "keys.yaml"
    assert bindings()["f9"] is Order.REST
    forget("f9")
    assert "f9" not in bindings()


def test_a_first_key_makes_the_file(file: Path) -> None:
    learn("page down", Order.LONGER, file.parent / "new" / "keys.yaml")
    assert (file.parent / "new" / "keys.yaml").read_text() == f"{BEGINNING}page down: longer\n"
    assert [each.name for each in (file.parent / "new").iterdir()] == ["keys.yaml"]


def test_a_change_touches_one_word(file: Path) -> None:
    file.write_text(WRITTEN)
    learn("page down", Order.STAY, file)
    assert file.read_text() == WRITTEN.replace("longer", "stay")
    learn("page up", Order.AGAIN, file)
    assert file.read_text() == WRITTEN.replace("longer", "stay").replace("nothing", "again")


def test_a_new_key_comes_after_the_last_one(file: Path) -> None:
    file.write_text(WRITTEN)
    learn("?", None, file)
    assert file.read_text() == WRITTEN.replace("Other Side\n", 'Other Side\n"?": nothing\n')


def test_a_key_that_is_forgotten_takes_only_its_line_with_it(file: Path) -> None:
    file.write_text(WRITTEN)
    forget("page up", file)
    assert file.read_text() == WRITTEN.replace("Page_Up: nothing\n", "")
    assert bindings(file)["page up"] is Order.AGAIN


def test_line_ends_spaces_and_a_last_line_without_an_end_are_kept(file: Path) -> None:
    file.write_bytes(b"  a: next\r\n  b: hush")
    learn("c", Order.REST, file)
    assert file.read_bytes() == b"  a: next\r\n  b: hush\r\n  c: rest\r\n"
    forget("b", file)
    assert file.read_bytes() == b"  a: next\r\n  c: rest\r\n"


def test_comments_without_a_key_are_kept(file: Path) -> None:
    file.write_text("# Nothing yet.")
    learn("c", Order.REST, file)
    assert file.read_text() == "# Nothing yet.\nc: rest\n"


def test_a_link_stays_a_link(file: Path) -> None:
    (file.parent / "elsewhere").mkdir()
    real = file.parent / "elsewhere" / "mine.yaml"
    real.write_text("a: next\n")
    file.symlink_to(real)
    learn("a", Order.REST, file)
    assert file.is_symlink() and real.read_text() == "a: rest\n"


NAMES = st.one_of(
    st.sampled_from(sorted(KEYS)),
    st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=1),
    st.sampled_from(sorted(KERNEL.values())),
    st.from_regex(r"button [0-9]{1,2}( long)?", fullmatch=True),
    st.from_regex(r"bytes( [0-9a-f]{2}){1,5}", fullmatch=True),
)
CHANGES = st.lists(st.tuples(NAMES, st.sampled_from([*Order, None, "forget"])), max_size=12)


@tried(60)
@given(CHANGES)
def test_what_is_taught_is_what_is_read(tmp_path_factory: pytest.TempPathFactory, changes: list) -> None:
    file = tmp_path_factory.mktemp("keys") / "keys.yaml"
    expected: dict[str, Order | None] = {}
    for key, order in changes:
        if order != "forget":
            learn(key, order, file)
            expected[key] = order
        elif key in expected:
            forget(key, file)
            del expected[key]
    assert learned(file) == expected
    assert not expected or file.read_text(encoding="utf-8").startswith(BEGINNING)


def test_a_line_knows_its_place() -> None:
    text = "# one\npage down:  longer # two\n"
    assert entries(text, "keys.yaml") == (KeyLine("page down", Order.LONGER, 6, 18, 24),)


def test_esc_may_not_end_a_class(file: Path) -> None:
    with pytest.raises(UnusableChoice) as caught:
        learn("esc", Order.QUIT, file)
    assert str(caught.value) == (
        "Esc never ends a class, since presenter remotes send it by themselves (give `quit` to another key)"
    )
    assert not file.exists()
    assert faults(file, "esc: quit\n") == (
        "keys.yaml:1:6: Esc never ends a class, since presenter remotes send it by themselves "
        "(give `quit` to another key)\n    esc: quit\n         ^"
    )
    learn("esc", Order.PAUSE, file.parent / "other.yaml")
    assert bindings(file.parent / "other.yaml")["esc"] is Order.PAUSE


@each_row(
    "text, message",
    [
        ("a: next\npage down: nxt\n", "keys.yaml:2:12: there is no order `nxt` (did you mean `next`?)"),
        ("pgae down: next\n", "keys.yaml:1:1: there is no key `pgae down` (did you mean `page down`?)"),
        ("a: next\nA: next\na : hush\n", "keys.yaml:3:1: `a` stands here twice (keep one of them)"),
        ("a: next\nb:\n", "keys.yaml:2:1: nothing says what `b` asks for (write an order after it, or `nothing`)"),
        ("b: [next]\n", "keys.yaml:1:1: nothing says what `b` asks for (write an order after it, or `nothing`)"),
        (
            "a: &x next\nb: *x\n",
            "keys.yaml:2:1: nothing says what `b` asks for (write an order after it, or `nothing`)",
        ),
        ("[a]: next\n", "keys.yaml:1:1: this is no name of a key (write one such as `page down`)"),
        ("'': next\n", "keys.yaml:1:1: there is no key `` (write one such as `page down`)"),
        ("- next\n", "keys.yaml:1:1: keys stand in lines of `key: order` (write one such as `page down: next`)"),
        ("{a: next}\n", "keys.yaml:1:1: keys stand in lines of `key: order` (write one such as `page down: next`)"),
        ("next\n", "keys.yaml:1:1: keys stand in lines of `key: order` (write one such as `page down: next`)"),
        (
            "a: next\n*: rest\n",
            'keys.yaml:2:1: this line cannot be read (write `key: order`, a key that is a sign in quotes, as in `"*": '
            "rest`)",
        ),
        (
            "a: next\nb: \x07hush\n",
            'keys.yaml:2:4: this line cannot be read (write `key: order`, a key that is a sign in quotes, as in `"*": '
            "rest`)",
        ),
    ],
)
def test_what_is_wrong_is_told_at_its_place(file: Path, text: str, message: str) -> None:
    assert faults(file, text).splitlines()[0] == message


def test_an_order_that_is_like_no_other_is_told_with_all_there_are(file: Path) -> None:
    told = faults(file, "a: zzz\n").splitlines()
    assert told[0] == (
        "keys.yaml:1:4: there is no order `zzz` (there are pause, next, again, previous, longer, stay, shorter, "
        "slower, quicker, side again, other side, voice up, voice down, chimes up, chimes down, music up, "
        "music down, fewer words, all words, hush, rest, undo, quit, end now, nothing)"
    )
    assert told[1:] == ["    a: zzz", "       ^"]


def test_all_that_is_wrong_is_told_at_once_and_nothing_is_written(file: Path) -> None:
    text = "a: nxt\nb: hsh\n"
    assert faults(file, text).count("there is no order") == 2
    for change in (lambda: learn("c", Order.NEXT, file), lambda: forget("a", file)):
        with pytest.raises(FaultyFile, match="did you mean `next`"):
            change()
    assert file.read_text() == text


def test_a_file_in_another_encoding_or_too_long_is_told(file: Path) -> None:
    file.write_bytes("a: next\nß: hush\n".encode("latin-1"))
    with pytest.raises(FaultyFile, match=r"keys.yaml:2:1: this is not UTF-8 \(save the file as UTF-8\)"):
        learned(file)
    file.write_bytes(b"#" * (MOST_BYTES + 1))
    with pytest.raises(FaultyFile, match=r"keys.yaml:1:1: this is too long for a file of keys \(move it away\)"):
        learned(file)


def test_a_file_that_cannot_be_read_or_written_is_told(file: Path) -> None:
    file.mkdir()
    with pytest.raises(MachineTrouble, match=r"keys.yaml: the learned keys cannot be read \(Is a directory\)"):
        learned(file)
    (file.parent / "full").write_text("")
    with pytest.raises(MachineTrouble, match="the learned keys cannot be"):
        learn("a", Order.NEXT, file.parent / "full" / "keys.yaml")


def test_a_disk_that_is_full_leaves_the_file_as_it_was(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file.write_text("a: next\n")

    def full(number: int) -> None:
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(MachineTrouble, match=r"cannot be written \(No space left on device\)"):
        learn("b", Order.HUSH, file)
    assert file.read_text() == "a: next\n"


@pytest.mark.parametrize(("text", "order"), [("Side  Again", Order.SIDE_AGAIN), ("voice_up", Order.VOICE_UP)])
def test_an_order_goes_by_its_name(text: str, order: Order) -> None:
    assert order_called(text) is order


def test_nothing_is_no_order_and_an_unknown_one_is_told() -> None:
    assert order_called("nothing") is None
    with pytest.raises(UnusableChoice, match=r"there is no order `nxet` \(did you mean `next`\?\)"):
        order_called("nxet")


def test_a_key_that_was_taught_nothing_cannot_forget(file: Path) -> None:
    with pytest.raises(UnusableChoice, match=r"`page down` was taught nothing \(no key was taught anything\)"):
        forget("page down", file)
    learn("page up", Order.NEXT, file)
    with pytest.raises(UnusableChoice, match=r"`page dwn` was taught nothing \(did you mean `page up`\?\)"):
        forget("page dwn", file)
    with pytest.raises(UnusableChoice, match=r"`z` was taught nothing \(there are page up\)"):
        forget("z", file)
