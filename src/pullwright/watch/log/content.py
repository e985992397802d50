"""What is a file, whatever its name ends with? Known from its first bytes."""

from __future__ import annotations

import re

_MAGIC: tuple[tuple[bytes, str], ...] = (
    (b"PK\x03\x04", "zip"),
    (b"PK\x05\x06", "zip"),
    (b"PAR1", "parquet"),
    (b"ARROW1", "feather"),
    (b"\x1f\x8b", "gzip"),
    (b"\x89PNG", "a picture (PNG)"),
    (b"\xff\xd8\xff", "a picture (JPEG)"),
    (b"GIF8", "a picture (GIF)"),
    (b"II*\x00", "a picture (TIFF)"),
    (b"MM\x00*", "a picture (TIFF)"),
    (b"%PDF", "a PDF"),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "an old binary office file (such as XLS)"),
    (b"7z\xbc\xaf\x27\x1c", "a packed file (7z)"),
    (b"Rar!", "a packed file (RAR)"),
    (b"BZh", "a packed file (bzip2)"),
    (b"\xfd7zXZ", "a packed file (xz)"),
    (b"\x28\xb5\x2f\xfd", "a packed file (zstd)"),
    (b"\x7fELF", "a program"),
    (b"MZ\x90\x00", "a program"),
    (b"SQLite format 3", "a database (SQLite)"),
)
_RIFF = re.compile(rb"RIFF....(WEBP|WAVE|AVI )", re.DOTALL)
_XML = re.compile(rb"(?:\xef\xbb\xbf)?\s*<(?:\?xml|!DOCTYPE|!--|log[\s>])", re.IGNORECASE)
_XML_16 = re.compile(rb"(?:\xff\xfe)?<\x00[?l!]\x00|(?:\xfe\xff)?\x00<\x00[?l!]")
READ_KINDS = ("zip", "parquet", "feather", "gzip", "xml", "text")
ENDINGS = {"csv": "text", "tsv": "text", "txt": "text", "xlsx": "zip", "xlsm": "zip", "parquet": "parquet", "feather": "feather", "xes": "xml", "xml": "xml"}  # fmt: skip


def content_kind(head: bytes) -> str:
    """One of READ_KINDS, or words for what it is and cannot be read.

    >>> content_kind(b"Order;Step"), content_kind(b"PAR1..."), content_kind(bytes([137]) + b"PNG")
    ('text', 'parquet', 'a picture (PNG)')
    """
    for magic, kind in _MAGIC:
        if head.startswith(magic):
            return kind
    if _RIFF.match(head):
        return "a picture or a recording (RIFF)"
    if head.lstrip(b"\xef\xbb\xbf \t\r\n")[:1] in (b"{", b"[") and b'"' in head[:200]:
        return "JSON"
    if (
        head.lstrip(b"\xef\xbb\xbf \t\r\n")[:6].lower() in (b"<html>", b"<html ")
        or b"<!doctype html" in head[:200].lower()
    ):
        return "a web page (HTML)"
    return "xml" if _XML.match(head) or _XML_16.match(head) else "text"
