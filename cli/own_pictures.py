"""Pictures that say that panelpoint drew them, so that nobody takes them for photographs.

A PNG says it in a text chunk with the keyword Software (W3C, Portable Network Graphics, 11.3.3, from memory),
a JPEG in a comment segment (ITU-T T.81, B.2.4.5, from memory). Either stands right behind what such a file
must begin with. A program that saves the picture anew may leave it out: then it is one like any other.
"""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

__all__ = ["drawn_here", "signed"]

_NAME = b"panelpoint"
_TEXT = b"tEXtSoftware\0" + _NAME
_CHUNK = struct.pack(">I", len(_TEXT) - 4) + _TEXT + struct.pack(">I", zlib.crc32(_TEXT))
_COMMENT = b"\xff\xfe" + struct.pack(">H", len(_NAME) + 2) + _NAME
_PNG = b"\x89PNG\r\n\x1a\n"
_PNG_HEAD = len(_PNG) + 25
"""Bytes of the signature and of the header chunk, which comes first."""
_JPEG_HEAD = b"\xff\xd8\xff\xe0"
"""Start of a JPEG file with a JFIF segment, which comes first."""
_FIRST = 4096
"""Bytes of a file in which the sign is looked for."""


def signed(data: bytes) -> bytes:
    """Return the bytes of a PNG or JPEG file with the sign in them, nothing else changed.

    Raises
    ------
    ValueError
        For another kind of file.
    """
    if data.startswith(_PNG):
        head, sign = _PNG_HEAD, _CHUNK
    elif data.startswith(_JPEG_HEAD):
        head, sign = 4 + struct.unpack(">H", data[4:6])[0], _COMMENT
    else:
        raise ValueError("Only PNG and JFIF files can be signed.")
    return data if data[head:].startswith(sign) else data[:head] + sign + data[head:]


def drawn_here(path: Path) -> bool:
    """Tell whether a file is a picture that says that panelpoint drew it.

    Raises
    ------
    OSError
        When the file cannot be read.
    """
    with path.open("rb") as file:
        first = file.read(_FIRST)
    return (first.startswith(_PNG) and _CHUNK in first) or (
        first.startswith(_JPEG_HEAD) and _COMMENT in first
    )
