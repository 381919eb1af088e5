"""The pictures that a site file names for its papers: a logo and photographs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path as FilePath
from typing import Any

from wellsolar.site.inputs import open_input
from wellsolar.site.locate import Path
from wellsolar.wording import quoted

LARGEST = 2_000_000
"""Bytes of a picture: some photographs of a telephone, saved smaller, still go by mail in a page.
Our choice."""

MARKS = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff")
"""How a picture begins: ISO/IEC 15948 (PNG), 5.2, and the start of image with the first marker of
ISO/IEC 10918-1 (JPEG), annex B; from memory."""


def picture_mistakes(tables: Mapping[str, Any], site_path: str) -> Iterator[tuple[Path, str]]:
    """What is wrong with the pictures of a site.

    Parameters:
        tables: of the site file, as TOML gives them
        site_path: where it was read; its folder is that of the pictures
    """
    job = tables.get("job")
    if not isinstance(job, dict):
        return
    named: list[tuple[Path, Any]] = [(("job", "logo"), job.get("logo"))]
    blocks = job.get("photograph")
    for number, block in enumerate(blocks if isinstance(blocks, list) else ()):
        if isinstance(block, dict):
            named.append((("job", "photograph", number, "file"), block.get("file")))
    for at, name in named:
        if isinstance(name, str) and name:
            message = _wrong(FilePath(site_path).parent / name, name)
            if message:
                yield at, message


def _wrong(path: FilePath, name: str) -> str:
    """What is wrong with a picture; empty where nothing is."""
    try:
        with open_input(path) as file:
            content = file.read(LARGEST + 1)
    except FileNotFoundError:
        return f"{quoted(name)}: no such file beside the site file"
    except IsADirectoryError:
        return f"{quoted(name)} is a folder: name the picture in it"
    except OSError as error:
        return f"{quoted(name)} can't be read ({error.strerror})"
    except ValueError:
        return f"{quoted(name)} is no name that a file can have"
    if not content.startswith(MARKS):
        return f"{quoted(name)} is no picture: save it as PNG or JPEG"
    if len(content) > LARGEST:
        return f"{quoted(name)} is larger than 2 MB: save it smaller, at most 1600 pixels wide"
    return ""
