"""The pictures that a site file names for its papers: a logo and photographs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, Any

from wellsolar.errors import Problem, SiteFileError
from wellsolar.site.inputs import open_input
from wellsolar.site.locate import Path, key_text
from wellsolar.wording import quoted

if TYPE_CHECKING:
    from wellsolar.site.schema import JobTable

LARGEST = 2_000_000
"""Bytes of a picture: some photographs of a telephone, saved smaller, still go by mail in a page.
Our choice."""

MARKS: Mapping[bytes, str] = {b"\x89PNG\r\n\x1a\n": "image/png", b"\xff\xd8\xff": "image/jpeg"}
"""How a file begins -> what it is: ISO/IEC 15948 (PNG), 5.2, and the start of image with the first
marker of ISO/IEC 10918-1 (JPEG), annex B; from memory."""


def picture_mistakes(tables: Mapping[str, Any], site_path: str) -> Iterator[tuple[Path, str]]:
    """What is wrong with the pictures of a site.

    Parameters:
        tables: of the site file, as TOML gives them
        site_path: where it was read; its folder is that of the pictures
    Returns:
        key path and message of each mistake
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
            message = _read(FilePath(site_path).parent / name, name)[1]
            if message:
                yield at, message


def load_pictures(job: JobTable | None, site_path: str) -> dict[str, tuple[str, bytes]]:
    """The pictures of a site.

    Parameters:
        job: the table that names them; None for none
        site_path: where the site file was read
    Returns:
        name in the file -> what it is, such as "image/png", and its bytes
    Raises:
        SiteFileError: one of them is not there, is too large or no picture any more
    """
    if job is None:
        return {}
    named: list[tuple[Path, str | None]] = [(("job", "logo"), job.logo)]
    for number, each in enumerate(job.photograph):
        named.append((("job", "photograph", number, "file"), each.file))
    found = {}
    for at, name in named:
        if name is None:
            continue
        content, message = _read(FilePath(site_path).parent / name, name)
        if message:
            raise SiteFileError(site_path, [Problem(key_text(at), None, message)])
        found[name] = _kind_of(content), content
    return found


def _kind_of(content: bytes) -> str:
    return next((kind for mark, kind in MARKS.items() if content.startswith(mark)), "")


def _read(path: FilePath, name: str) -> tuple[bytes, str]:
    """The bytes of a picture, or what is wrong with it."""
    try:
        with open_input(path) as file:
            content = file.read(LARGEST + 1)
    except FileNotFoundError:
        return b"", f"{quoted(name)}: no such file beside the site file"
    except IsADirectoryError:
        return b"", f"{quoted(name)} is a folder: name the picture in it"
    except OSError as error:
        return b"", f"{quoted(name)} can't be read ({error.strerror})"
    except ValueError:
        return b"", f"{quoted(name)} is no name that a file can have"
    if not _kind_of(content):
        return b"", f"{quoted(name)} is no picture: save it as PNG or JPEG"
    if len(content) > LARGEST:
        return (
            b"",
            f"{quoted(name)} is larger than 2 MB: save it smaller, at most 1600 pixels wide",
        )
    return content, ""
