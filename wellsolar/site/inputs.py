"""The files that a run reads: how they are opened, and which a site file names."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, BinaryIO

if TYPE_CHECKING:
    from wellsolar.site.loading.read import SiteFile

_REMEDIES = {
    errno.ELOOP: "links that lead back to themselves: name the file itself",
    errno.ENAMETOOLONG: "longer than the system allows: give a shorter path",
    errno.EACCES: "Permission denied: let it be read, or name another",
}


def open_input(path: FilePath) -> BinaryIO:
    """Open a file to be read; a pipe or a device, which might never end, is none.

    Parameters:
        path: the file
    Returns:
        its bytes
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


def inputs_of(file: SiteFile) -> list[tuple[str, FilePath]]:
    """What the studies of a site read.

    Parameters:
        file: a site file that was read
    Returns:
        what each file is, such as "the site file", and its path
    """
    folder, test = FilePath(file.path).parent, file.site.well.drawdown_test
    named = [
        ("the weather file", file.site.sun.file),
        ("the file of levels", None if test is None else test.file),
    ]
    found = [(what, folder / name) for what, name in named if name is not None]
    return [("the site file", FilePath(file.path)), *found]
