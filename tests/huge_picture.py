"""A picture that is far too large, in a few bytes."""

from __future__ import annotations

import struct
import zlib

__all__ = ["huge_png"]


def huge_png() -> bytes:
    """Return a PNG that claims 30,000 x 30,000 pixels and holds next to none."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = struct.pack(">IIBBBBB", 30_000, 30_000, 8, 2, 0, 0, 0)
    body = chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"\0")) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + body
