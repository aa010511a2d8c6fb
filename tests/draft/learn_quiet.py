"""Learns how long a quiet is usual after which words, for `guide/review/captions/quiet_after.npz`.

    pip install torch
    PYTHONPATH=.:tests:tests/review:tests/draft python tests/draft/learn_quiet.py

writes it anew in a minute, from the talked classes that drafts are learned from: the mean quiet after each word is told
by the words around it (Poisson regression: a logarithm that is a sum, by its likelihood), half of the time without
points. Only the words that are said most are told apart.
"""

from collections import Counter
from itertools import pairwise

import numpy as np
import torch
from learn_reading import talks
from talked import talked
from torch import nn

from guide.review.captions import word_times
from guide.review.captions.transcript import folded
from guide.review.captions.word_times import AROUND, ENDS, QuietAfter, end_of

WORDS, ROUNDS, BATCH, STEP, BACK = 1500, 4, 8192, 0.02, 2e-5
#: No quiet tells more than one of so many s; after the last word it is usual to have so many.
MOST, AT_END = 40.0, 5.0


def main() -> None:
    """Learn, and keep it."""
    torch.manual_seed(1)
    classes = [talked(*each) for each in talks()]
    said = [["".join(folded(word.text)) for word in one.words] for one in classes]
    most = [word for word, _ in Counter(word for words in said for word in words).most_common(WORDS)]
    kept = QuietAfter({word: row for row, word in enumerate(most, 1)}, np.empty(0), 0.0)
    rows = [
        kept.rows(words, [end_of(word.text) if pointed else None for word in one.words])
        for one, words in zip(classes, said, strict=True)
        for pointed in (True, False)
    ]
    quiets = [
        [*((after.start_ms - word.end_ms) / 1000 for word, after in pairwise(one.words)), AT_END]
        for one in classes
        for _ in range(2)
    ]
    read, seconds = torch.tensor(np.concatenate(rows)), torch.tensor(np.concatenate(quiets)).float().clamp(0, MOST)
    worth = nn.Embedding(len(AROUND) * (len(most) + 2) + len(ENDS), 1)
    usual = nn.Parameter(torch.tensor(-1.0))
    nn.init.zeros_(worth.weight)
    steps = torch.optim.Adam([worth.weight, usual], lr=STEP)
    for number in range(ROUNDS):
        for some in torch.randperm(len(read)).split(BATCH):
            log = worth(read[some]).sum(1).squeeze(1) + usual
            loss = (log.clamp(max=4).exp() - seconds[some] * log).mean() + BACK * (worth.weight**2).sum()
            steps.zero_grad(), loss.backward(), steps.step()
        print(f"round {number + 1} of {ROUNDS}: {loss.item():.3f}", flush=True)
    np.savez_compressed(
        word_times.__file__.replace("word_times.py", "quiet_after.npz"),
        words=np.frombuffer("\n".join(most).encode(), dtype=np.uint8),
        worth=worth.weight.detach().squeeze(1).numpy().astype(np.float16),
        usual=np.float32(usual.item()),
    )


if __name__ == "__main__":
    main()
