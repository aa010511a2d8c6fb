"""How the natural voice wakes: from what it made of its package's files when it woke before, which takes a third.

Kept are its model as the runtime leaves it after making it faster, and its dictionaries as sorted lines, in which a
word is found without all others being read. What it says is the same, to the sample.
"""

import json
import tempfile
from bisect import bisect_left
from collections.abc import Iterator, Mapping
from pathlib import Path
from platform import machine
from typing import Any

from guide.voice.cache import Cache, cache_key

#: Changes whenever this file keeps something else.
_OURS = "1"

#: The dictionaries that are kept as lines; what is small is kept together, under the last name.
_LINES = ("golds", "silvers", "weights", "tagdict")
_REST = "rest"


class WordLines:
    """A dictionary as a text: a line for each word with what stands for it as JSON, in the order of their bytes."""

    def __init__(self, text: bytes) -> None:
        self._text = text
        self._last = text.rfind(b"\n", 0, -1) + 1
        self._found: dict[str, Any] = {}

    def get(self, word: str) -> Any:
        """What stands for a word, or None."""
        if word not in self._found:
            self._found[word] = self._look_up(word.encode() + b"\t")
        return self._found[word]

    def _look_up(self, begins: bytes) -> Any:
        def line_after(place: int) -> bytes:
            start = self._text.find(b"\n", place) + 1
            return self._text[start : start + len(begins)]

        start = self._text.find(b"\n", bisect_left(range(self._last), begins, key=line_after)) + 1
        if not self._text.startswith(begins, start):
            return None
        return json.loads(self._text[start + len(begins) : self._text.find(b"\n", start)])


def as_lines(words: Mapping[str, Any]) -> bytes:
    """A dictionary as `WordLines` reads it; no word holds a tab or a line end."""
    written = ((word, json.dumps(value, ensure_ascii=False)) for word, value in words.items())
    return b"\n" + b"".join(sorted(f"{word}\t{value}\n".encode() for word, value in written))


def woken(version: str, cache: Cache) -> Any:
    """The engine of this version of the voice.

    What a voice has use of that wakes a second time is kept when it wakes: the model first, the dictionaries after it.
    """
    import onnxruntime
    from hibari import Hibari
    from hibari.g2p import G2P

    def key(part: str) -> str:
        made_by = f"{version}, onnxruntime {onnxruntime.__version__}, {machine()}, {_OURS}"
        return cache_key("natural", made_by, 1.0, part, "")

    model = cache.load_part(key("model"))
    if model is None:
        model = _faster_model()
        cache.store_part(key("model"), model)
        return Hibari(model=model, threads=1)
    kept = {part: text for part in (*_LINES, _REST) if (text := cache.load_part(key(part))) is not None}
    if len(kept) > len(_LINES):
        return Hibari(model=model, threads=1, g2p=_from_lines(kept))
    g2p = G2P()
    all(cache.store_part(key(part), text) for part, text in _parts(g2p))
    return Hibari(model=model, threads=1, g2p=g2p)


def _faster_model() -> bytes:
    """The model of the package as the runtime leaves it, which any processor of this kind runs alike."""
    import onnxruntime
    from hibari.voices import DEFAULT, voice_path

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = options.inter_op_num_threads = 1
    options.log_severity_level = 3
    options.graph_optimization_level = onnxruntime.GraphOptimizationLevel.ORT_ENABLE_EXTENDED
    with tempfile.TemporaryDirectory() as folder:
        faster = Path(folder) / "voice.onnx"
        options.optimized_model_filepath = str(faster)
        onnxruntime.InferenceSession(voice_path(DEFAULT), options, providers=["CPUExecutionProvider"])
        return faster.read_bytes()


def _parts(g2p: Any) -> Iterator[tuple[str, bytes]]:
    """What is kept of the dictionaries, one part after the other."""
    tagger = g2p.tagger
    dictionaries = (g2p.lexicon.golds.d, g2p.lexicon.silvers.d, tagger.weights, tagger.tagdict)
    for part, words in zip(_LINES, dictionaries, strict=True):
        yield part, as_lines(words)
    rest = {"special": g2p.tokenizer.special, "tags": tagger.tags, "vocab": sorted(tagger.vocab)}
    yield _REST, json.dumps(rest).encode()


def _from_lines(kept: Mapping[str, bytes]) -> Any:
    """What `G2P()` makes, with dictionaries that are looked up in their lines."""
    from hibari.g2p import G2P
    from hibari.g2p.lexicon import Lexicon
    from hibari.g2p.tagger import Tagger
    from hibari.g2p.tokenize import Tokenizer

    golds, silvers, weights, tagdict = (WordLines(kept[part]) for part in _LINES)
    rest = json.loads(kept[_REST])
    g2p = G2P.__new__(G2P)
    g2p.lexicon = Lexicon(golds, silvers)
    g2p.tokenizer = Tokenizer(rest["special"])
    g2p.tagger = Tagger({"tagdict": tagdict, "weights": weights, "tags": rest["tags"], "vocab": rest["vocab"]})
    g2p._oov, g2p.unk, g2p.british = None, "", False
    return g2p
