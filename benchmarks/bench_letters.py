"""Reading letters: what a letter and ten kilobytes of noise take beside a bare cut into words."""

from __future__ import annotations

import re
import sys
import time
from pathlib import Path

import meshcore as mc

sys.path += [str(Path(__file__).resolve().parents[1] / "tests" / name) for name in ("", "letters")]
from test_noise import HERE, PIECES

#: What the project asks: ten kilobytes in a second, a letter of eight lines in a tenth.
NOISE, ASKED_S, ASKED_LETTER_S = 10_000, 1.0, 0.1
_WORDS = re.compile(r"\w+|\S")
_BARE_TIMES = 20


def _spent(text: str) -> float:
    began = time.process_time()
    mc.read_letter(text)
    return time.process_time() - began


def _bare(text: str) -> float:
    began = time.process_time()
    for _ in range(_BARE_TIMES):
        _WORDS.findall(text)
    return (time.process_time() - began) / _BARE_TIMES


def main(lines: int | None = None) -> None:
    """Print the time of letters, of eight lines and of noise, and its ratio to the bare cut."""
    letters = [path.read_text("utf-8") for path in sorted(HERE.glob("*/*.txt"))][: lines or None]
    mc.read_letter("2 rolls 10 mesh")
    took, bare = sum(map(_spent, letters)), sum(map(_bare, letters))
    print(
        f"letters: {len(letters)} read in {took / len(letters) * 1e3:.1f} ms each, "
        f"{took / bare:.0f} times their bare cut into words"
    )
    rows = "\n".join(
        f"{n}. {n} rolls {n + 9} mesh, 0.5 mm wire, 304, 1 m x 30 m" for n in range(1, 9)
    )
    print(
        f"a letter of eight lines: {min(_spent(rows) for _ in range(5)) * 1e3:.1f} ms "
        f"of {ASKED_LETTER_S * 1e3:.0f} asked"
    )
    noise = {
        piece: min(_spent(piece * (NOISE // len(piece))) for _ in range(2)) for piece in PIECES
    }
    slowest = max(noise, key=noise.__getitem__)
    print(
        f"10 kB of noise: {sorted(noise.values())[len(noise) // 2]:.2f} s in the middle, "
        f"{noise[slowest]:.2f} s at most ({slowest!r}), of {ASKED_S:.0f} s asked"
    )


if __name__ == "__main__":
    main()
