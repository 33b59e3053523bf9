"""Files as accidents and malice make them: pieces lost, doubled, moved, exchanged, far too long."""

from __future__ import annotations

import random
from collections.abc import Sequence

#: What means something to a reader of YAML or tables, or often goes wrong.
TOKENS = [
    b":", b": ", b"- ", b"[", b"]", b"{", b"}", b"&a ", b"*a", b"!!x ", b"<<: ", b"|\n", b">\n",
    b"#", b"---\n", b"...\n", b"%YAML 9\n", b"'", b'"', b'"\\x1b[2J"', b"\\", b"\t", b"\r", b"\n",
    b"\r\n", b"\x00", b"\x07", b"\x9b", b"\xff\xfe", b"\xef\xbb\xbf", b"\xe2\x80\xae",
    b"\xed\xa0\x80", b",", b";", b"|", b",,,,,,,", b"nan", b"inf", b"-inf", b"1e999", b"-0",
    b"0x10", b"1,5", b"1.2.3", b"9" * 30, b"0" * 30, b"null", b"true", b"~", b" at ", b" to ",
    b"at least ", b"12 deg before TDC", b"84 mm", b"0 mm", b"-1 rpm", b"1e300 kW", b"[rpm]", b"[",
    b"engine speed [rpm]", b"2025-02-30", b"0001-01-01", b"9999-12-31", b"constructor",
    b"__proto__", b"con", b"../../etc/passwd", b"<script>", b"{{ x }}", b"${x}", b"$x$",
    b" " * 200, b"[" * 40, b"x" * 300,
]  # fmt: skip


def mutated(data: bytes, others: Sequence[bytes], chance: random.Random) -> bytes:
    """Change a file in a few places, mostly one."""
    for _ in range(1 if chance.random() < 0.6 else chance.randint(2, 8)):
        data = _changed(data, others, chance)
    return data


def _changed(data: bytes, others: Sequence[bytes], chance: random.Random) -> bytes:
    start = chance.randint(0, len(data))
    end = min(start + int(chance.expovariate(1 / 12)), len(data))
    before, piece, after = data[:start], data[start:end], data[end:]
    other = chance.choice(others)
    at = chance.randint(0, len(other))
    return chance.choice(
        (
            lambda: before + after,
            lambda: before + piece * chance.choice((2, 3, 50)) + after,
            lambda: before + chance.choice(TOKENS) + after,
            lambda: before + chance.choice(TOKENS) + piece + after,
            lambda: before + other[at : at + chance.randint(0, 80)] + after,
            lambda: before + bytes([chance.randrange(256)]) + after,
            lambda: before,
            lambda: after + before,
            lambda: _lines_moved(data, chance),
        )
    )()


def _lines_moved(data: bytes, chance: random.Random) -> bytes:
    """Take a line out, double it, or put it elsewhere with another indentation."""
    lines = data.split(b"\n")
    line = lines.pop(chance.randrange(len(lines)))
    for _ in range(chance.choice((0, 1, 1, 2))):
        lines.insert(chance.randint(0, len(lines)), b" " * chance.choice((0, 0, 2, 4)) + line)
    return b"\n".join(lines)


def mistyped(text: str, chance: random.Random) -> str:
    """Make one slip of a finger anywhere: a letter lost, doubled, exchanged, another, or added."""
    at = chance.randrange(len(text))
    before, here, after = text[:at], text[at], text[at + 1 :]
    near = chance.choice("abcdefghijklmnopqrstuvwxyz0123456789 .,:;-_[]{}'\"#&*!|>%@\t\nÄ°µ")
    return chance.choice(
        (
            before + after,
            before + here * 2 + after,
            before + after[:1] + here + after[1:],
            before + near + after,
            before + near + here + after,
        )
    )
