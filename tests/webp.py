"""WebP files taken apart, for the tests of pictures."""

from __future__ import annotations

import struct


def chunks(data: bytes) -> list[bytes]:
    """Names of the chunks of a WebP file (RFC 9649, section 2.3)."""
    assert (data[:4], data[8:12]) == (b"RIFF", b"WEBP")
    names, at = [], 12
    while at < len(data):
        names.append(data[at : at + 4])
        size = struct.unpack("<I", data[at + 4 : at + 8])[0]
        at += 8 + size + size % 2
    return names
