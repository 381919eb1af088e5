"""Writes a file whole or not at all."""

from __future__ import annotations

import os
import secrets
import stat
from pathlib import Path

from wellsolar.errors import OutputError


def check_place(path: str | Path) -> None:
    """Refuse a place that could not be written to, before any work is done for it.

    Parameters:
        path: the file to be
    Raises:
        OutputError: its folder is missing, it is a folder, or it may not be written
    """
    target = _target(path)
    shown = str(path)
    if not shown:
        raise OutputError("the path to write to is empty: give a file name")
    if target.is_dir():
        raise OutputError(f"{shown}: is a folder: name a file in it")
    if not target.parent.is_dir():
        raise OutputError(f"{shown}: there is no folder {target.parent}: make it first")
    if target.exists() and not os.access(target, os.W_OK):
        raise OutputError(f"{shown}: may not be written: change its permissions or name another")
    if not _is_special(target) and not os.access(target.parent, os.W_OK | os.X_OK):
        raise OutputError(f"{shown}: the folder {target.parent} may not be written: name another")


def write_whole(path: str | Path, text: str) -> None:
    """Write a file, replacing one of that name; a failure leaves the old one as it was.

    Parameters:
        path: the file
        text: what it shall hold, written as UTF-8
    Raises:
        OutputError: with the path and the remedy
    """
    check_place(path)
    target = _target(path)
    try:
        if _is_special(target):
            target.write_bytes(text.encode("utf-8"))
            return
        part = _beside(target, text)
        try:
            if target.exists():
                part.chmod(stat.S_IMODE(target.stat().st_mode))
            part.replace(target)
        except BaseException:
            part.unlink(missing_ok=True)
            raise
    except OSError as error:
        raise _failed(path, error) from error


def write_new(path: str | Path, text: str) -> None:
    """Write a file that is not there yet; one that is there stays as it is.

    Parameters:
        path: the file
        text: what it shall hold, written as UTF-8
    Raises:
        OutputError: with the path and the remedy
    """
    target = Path(path)
    exists = f"{path}: exists already and was left as it is: name a new file"
    if os.path.lexists(target) and not target.is_dir():
        raise OutputError(exists)
    check_place(path)
    try:
        part = _beside(target, text)
        try:
            _take_name(part, target, text)
        finally:
            part.unlink(missing_ok=True)
    except FileExistsError:
        raise OutputError(exists) from None
    except OSError as error:
        raise _failed(path, error) from error


def _target(path: str | Path) -> Path:
    """The file a path leads to: a link stays a link, its target is what gets replaced."""
    return Path(os.path.realpath(path))


def _is_special(target: Path) -> bool:
    """A device or pipe, which is written to and never replaced."""
    return target.exists() and not target.is_file()


def _beside(target: Path, text: str) -> Path:
    """The text in a file of a new name in the same folder, complete on the disk."""
    part = target.with_name(f".{secrets.token_hex(8)}.part")
    _create(part, text)
    return part


def _take_name(part: Path, target: Path, text: str) -> None:
    """Give the text its name unless the name has been taken meanwhile: FileExistsError."""
    try:
        os.link(part, target)
    except FileExistsError:
        raise
    except OSError:  # a file system without links, such as that of many memory sticks
        _create(target, text)


def _create(target: Path, text: str) -> None:
    """A new file, taken back where its text cannot be written in full."""
    stream = target.open("xb")
    try:
        with stream:
            stream.write(text.encode("utf-8"))
            stream.flush()
            os.fsync(stream.fileno())
    except BaseException:
        target.unlink(missing_ok=True)
        raise


def _failed(path: str | Path, error: OSError) -> OutputError:
    reason = error.strerror or type(error).__name__
    return OutputError(f"{path}: could not be written ({reason}): name another place")
