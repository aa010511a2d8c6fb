"""One order to the machine's own speech engine, in a process that ends with it: `system.py` starts this file.

The order is a JSON object on standard input, the answer one on standard output. Imports nothing of ours, so that it
starts fast; what pyttsx3 prints goes to standard error. Each step against a defect of pyttsx3 2.99 says which.
"""

import ctypes
import json
import os
import sys
from typing import Any

#: How the trouble of having no engine is told; `system.py` turns it into the line to type.
NO_LIBRARY = "no-library"


def main() -> None:
    """Do what one order on standard input asks, and answer with JSON."""
    order = json.load(sys.stdin)
    answer_to = sys.stdout
    sys.stdout = sys.stderr
    try:
        if sys.platform.startswith("linux"):
            load_espeak(order["library"])
        answer = {"list": listed, "speak": spoken}[order["do"]](order)
    except _NoLibrary:
        answer = {"trouble": NO_LIBRARY}
    except Exception as error:
        answer = {"trouble": f"{type(error).__name__}: {error}"}
    json.dump(answer, answer_to)
    answer_to.flush()
    # espeak is known to crash while it is taken down; the answer is out, so leave without that.
    os._exit(0)


class _NoLibrary(Exception):
    """Neither the system nor a package has espeak-ng."""


def load_espeak(library: str) -> None:
    """Load the system's espeak-ng, or the one in the package espeakng-loader, for pyttsx3 to find by its name."""
    try:
        ctypes.CDLL(library)
        return
    except OSError:
        pass
    try:
        import espeakng_loader
    except ImportError as error:
        raise _NoLibrary from error
    # Without the path of its data the C library ends the process.
    os.environ["ESPEAK_DATA_PATH"] = espeakng_loader.get_data_path()
    ctypes.CDLL(espeakng_loader.get_library_path(), ctypes.RTLD_GLOBAL)


def listed(order: dict[str, Any]) -> dict[str, Any]:
    """The voices of this machine, and a text that names the engine and its version."""
    engine = _engine()
    voices = [
        {"id": voice.id, "name": voice.name or "", "languages": [_language(one) for one in voice.languages or ()]}
        for voice in engine.getProperty("voices")
    ]
    return {"voices": voices, "engine": f"{engine} {_library_version(engine)}"}


def spoken(order: dict[str, Any]) -> dict[str, Any]:
    """Write the words of the order to the sound file that it names."""
    engine = _engine()
    troubles: list[str] = []
    engine.connect("error", lambda name=None, exception=None: troubles.append(str(exception)))
    # The first runAndWait of a process does not wait.
    engine.runAndWait()
    if order["voice"]:
        engine.setProperty("voice", order["voice"])
    engine.setProperty("rate", order["words_a_minute"])
    _settle(engine)
    engine.save_to_file(order["text"], order["path"])
    engine.runAndWait()
    return {"trouble": troubles[0]} if troubles else {}


def _engine() -> Any:
    import pyttsx3

    try:
        return pyttsx3.init()
    except (RuntimeError, OSError, ImportError) as error:
        raise _NoLibrary from error


def _settle(engine: Any) -> None:
    """Wait until espeak has done all that it was told: settings made just before a save are lost every other time."""
    if str(engine) == "espeak":
        from pyttsx3.drivers import _espeak

        _espeak.Synchronize()


def _library_version(engine: Any) -> str:
    if str(engine) != "espeak":
        return ""
    from pyttsx3.drivers import _espeak

    info = _espeak.dll.espeak_Info
    info.restype = ctypes.c_char_p
    return str(info(None).decode("utf-8", "replace"))


def _language(raw: object) -> str:
    """A language as text; espeak gives bytes with a priority in front, or a text that still holds it."""
    text = raw.decode("utf-8", "replace") if isinstance(raw, bytes) else str(raw)
    return "".join(char for char in text if char.isprintable())


if __name__ == "__main__":
    main()
