"""How a file that a run reads is opened."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path as FilePath
from typing import BinaryIO

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
