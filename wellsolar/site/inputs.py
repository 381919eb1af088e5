"""How a file that a run reads is opened, and its text read."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path as FilePath
from typing import BinaryIO

from wellsolar.errors import Problem, SiteFileError

LARGEST_FILE = 1_000_000
"""Bytes of a file of readings or of stock."""

_REMEDIES = {
    errno.ELOOP: "links that lead back to themselves: name the file itself",
    errno.ENAMETOOLONG: "longer than the system allows: give a shorter path",
    errno.EACCES: "Permission denied: let it be read, or name another",
}


def open_input(path: FilePath) -> BinaryIO:
    """Open a file to be read; a pipe or a device, which might never end, is none.

    Raises:
        OSError: it can't be read; `strerror` says why and what to do
    """
    try:
        there = os.stat(path)
        if not stat.S_ISREG(there.st_mode) and not stat.S_ISDIR(there.st_mode):
            what = "a pipe" if stat.S_ISFIFO(there.st_mode) else "a device"
            raise OSError(errno.EINVAL, f"{what}: save what comes out of it as a file")
        return path.open("rb")
    except OSError as error:
        remedy = _REMEDIES.get(error.errno or 0)
        if remedy is None:
            raise
        raise OSError(error.errno, remedy) from error


def text_of(path: str | FilePath, what: str, formats: str) -> str:
    """The text of a file, its line ends plain.

    Parameters:
        what: it is of, such as readings; formats: that it may have, for messages
    Raises:
        SiteFileError: it can't be read, or is no text
    """

    def whole(message: str) -> SiteFileError:
        return SiteFileError(str(path), [Problem("", None, message)])

    try:
        with open_input(FilePath(path)) as file:
            content = file.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        raise whole(f"no such file: name one of {what}, {formats}") from None
    except IsADirectoryError:
        raise whole(f"is a folder: name the file of {what} in it") from None
    except OSError as error:
        raise whole(f"can't be read ({error.strerror})") from None
    except ValueError:
        raise whole("is no name that a file can have") from None
    if len(content) > LARGEST_FILE:
        raise whole(f"is larger than 1 MB: a file of {what} is a text of some kilobytes")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise whole("is not UTF-8 text: save it as UTF-8") from None
    if "\0" in text:
        raise whole(f"is no text file: a file of {what} is a text, {formats}")
    return text.replace("\r\n", "\n").replace("\r", "\n")
