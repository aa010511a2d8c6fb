"""A class within reach of views in other processes: they see it, press keys, and come only with its key."""

import stat
from multiprocessing import Pipe
from multiprocessing.connection import Client
from pathlib import Path

import pytest
from live_scenes import scene

from guide.live.scene_server import NOT_RUNNING, RemoteClass, SceneServer, reached
from guide.problem import UnusableChoice


@pytest.fixture
def pressed() -> list[str]:
    return []


@pytest.fixture
def server(pressed: list[str]) -> SceneServer:
    made = SceneServer(scene, pressed.append)
    assert made.start()
    return made


def test_every_view_sees_the_scene_and_presses_keys(server: SceneServer, pressed: list[str], tmp_path: Path) -> None:
    place = tmp_path / "state" / "reach.json"
    with server.within_reach(place):
        assert stat.S_IMODE(place.stat().st_mode) == 0o600
        views = [RemoteClass(*reached(place)) for _ in range(3)]
        for view in views:
            assert view.scene() == scene()
            view.press(["page down"])
            view.scene()
        assert pressed == ["page down"] * 3
    assert not place.exists()


def test_keys_for_a_class_that_has_gone_are_for_nobody_and_its_scene_says_so(server: SceneServer) -> None:
    view = RemoteClass(server.address, server.key)
    view._line, gone = Pipe()
    gone.close()
    view.press(["page down"])
    with pytest.raises(OSError):
        view.scene()


def test_a_view_that_hangs_keeps_no_other_waiting(server: SceneServer) -> None:
    hung, other = (RemoteClass(server.address, server.key) for _ in range(2))
    hung._line.send(None)
    assert other.scene() == scene()


def test_who_has_no_key_sees_nothing_and_the_next_view_does(server: SceneServer) -> None:
    with pytest.raises(Exception, match="digest"):
        Client(server.address, authkey=b"another")
    assert RemoteClass(server.address, server.key).scene() == scene()


@pytest.mark.parametrize("text", ["", "{}", '{"address": "/nowhere/at all", "key": "00"}', None])
def test_a_class_that_is_not_led_cannot_be_taken_up(text: str | None, tmp_path: Path) -> None:
    place = tmp_path / "reach.json"
    if text is not None:
        place.write_text(text)
    with pytest.raises(UnusableChoice) as told:
        reached(place)
    assert str(told.value) == NOT_RUNNING


def test_a_place_that_cannot_be_written_keeps_no_class_from_being_led(server: SceneServer, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with server.within_reach(tmp_path / "file" / "reach.json"):
        assert RemoteClass(server.address, server.key).scene() == scene()


def test_a_folder_with_too_long_a_name_for_a_socket_is_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # Source: unix(7), `sun_path` has 108 bytes.
    long = tmp_path / ("a folder with a long name" * 5)
    long.mkdir()
    monkeypatch.setattr("multiprocessing.util.get_temp_dir", lambda: str(long))
    made = SceneServer(scene, print)
    assert made.start() and len(made.address) < 108
    assert RemoteClass(made.address, made.key).scene() == scene()
    folder = Path(made.address).parent
    made.stop()
    assert not folder.exists()


def test_a_machine_without_a_place_for_a_socket_shows_a_class_to_nobody(monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*given: object, **named: object) -> None:
        raise OSError("no place")

    monkeypatch.setattr("guide.live.scene_server.Listener", full)
    made = SceneServer(scene, print)
    assert not made.start()
    made.stop()
