"""Writes a file whole or not at all, and over no file that is not an earlier output."""

from __future__ import annotations

import errno
import os
import secrets
import stat
import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from wellsolar.errors import OutputError
from wellsolar.reports import stamps

LARGEST = 100_000_000
"""Bytes above which a file is taken for no output, unread."""

_NO_PLACE = {
    errno.ELOOP: "leads through links that lead back to themselves: name another",
    errno.ENAMETOOLONG: "is longer than the system allows: give a shorter name",
    errno.EACCES: "can't be reached: change the permissions on the way to it or name another",
}


@dataclass(frozen=True)
class Output:
    """Something to be written to a file.

    path: the file; kind: what it is, as of `stamps.stamped`
    """

    path: str | Path
    kind: str


def check_place(path: str | Path) -> None:
    """Refuse a place that could not be written to, before any work is done for it.

    Raises:
        OutputError: its folder is missing, it is a folder, a pipe or a device, no name that a file
            can have, or it may not be written
    """
    shown = str(path)
    if not shown:
        raise OutputError("the path to write to is empty: give a file name")
    there = _status(path)
    if (there is not None and stat.S_ISDIR(there.st_mode)) or shown.endswith(("/", os.sep)):
        raise OutputError(f"{shown}: is a folder: name a file in it")
    if there is not None and not stat.S_ISREG(there.st_mode):
        what = "a pipe" if stat.S_ISFIFO(there.st_mode) else "a device"
        raise OutputError(f"{shown}: is {what}: name a file, or - for standard output")
    target = _target(path)
    if not target.parent.is_dir():
        raise OutputError(f"{shown}: there is no folder {target.parent}: make it first")
    if there is not None and not os.access(target, os.W_OK):
        raise OutputError(f"{shown}: may not be written: change its permissions or name another")
    if not os.access(target.parent, os.W_OK | os.X_OK):
        raise OutputError(f"{shown}: the folder {target.parent} may not be written: name another")


def check_outputs(
    outputs: Sequence[Output], inputs: Sequence[tuple[str, str | Path]], force: bool
) -> None:
    """Refuse places at which something could be lost, before any work is done for them.

    Parameters:
        inputs: what the run reads, such as "the site file", and its path
        force: True where other files may be replaced; an input never is
    Raises:
        OutputError: one can't be written to, is an input, is a file that is no earlier output of
            its kind unchanged since, or two are the same
    """
    for number, output in enumerate(outputs):
        check_place(output.path)
        for what, path in inputs:
            if same_file(output.path, path):
                raise OutputError(
                    f"{output.path}: is {what} itself: name another for the {output.kind}"
                )
        for other in outputs[:number]:
            if same_file(output.path, other.path):
                raise OutputError(
                    f"{output.path}: {other.kind} and {output.kind} can't go to the same place: "
                    "name two"
                )
        if not force:
            refuse_foreign(output)


def refuse_foreign(output: Output) -> None:
    """Refuse a file that is not an earlier output of the same kind, unchanged since.

    Raises:
        OutputError: with what the file is, and the remedy
    """
    target = _target(output.path)
    try:
        content = target.read_bytes() if target.stat().st_size <= LARGEST else b""
    except FileNotFoundError:
        return
    except OSError as error:
        raise _failed(output.path, error) from error
    kind, unchanged = stamps.kind_of(content.decode("utf-8", "replace"))
    if kind == output.kind and unchanged:
        return
    if not kind:
        what_is_there = "is there already, and is no output of wellsolar"
    elif kind != output.kind:
        what_is_there = f"holds {kind} of wellsolar, no {output.kind}"
    else:
        what_is_there = "was changed since wellsolar wrote it"
    raise OutputError(
        f"{output.path}: {what_is_there}: name another, or say by --force that it may go"
    )


def same_file(one: str | Path, other: str | Path) -> bool:
    """Whether two paths lead to one file, by links of either sort or by names that the system
    takes for the same; of files that are not there yet, whether they would."""
    statuses = _status(one), _status(other)
    if statuses[0] is not None and statuses[1] is not None:
        return os.path.samestat(statuses[0], statuses[1])
    first, second = _target(one), _target(other)
    if first == second:
        return True
    if statuses != (None, None):  # the file that is there would be found by the other name
        return False
    try:
        if not os.path.samefile(first.parent, second.parent):
            return False
    except OSError:
        return False
    if first.name == second.name:
        return True
    return _folded(first.name) == _folded(second.name) and ignores_case(first.parent)


def ignores_case(folder: Path) -> bool:
    """Whether a folder takes names in capitals and small letters for the same, by trying it.

    Returns:
        True where it does; False too where it can't be tried
    """
    try:
        tried = _beside(folder / "tried", "")
    except OSError:
        return False
    try:
        return tried.with_name(tried.name.upper()).exists()
    finally:
        tried.unlink(missing_ok=True)


def write_outputs(
    outputs: Sequence[tuple[Output, str]], force: bool, tell: Callable[[], object] = lambda: None
) -> None:
    """Write files, each replacing an earlier output of its kind; a failure leaves every old file
    as it was, unless it comes with the last step of several.

    Parameters:
        made: each file with its text, which is written as UTF-8
        force: True where any other file may be replaced
        tell: called when all is written and nothing yet has its name: where it fails nothing
            is replaced
    Raises:
        OutputError: with the path and the remedy
    """
    parts: list[tuple[Output, Path, Path]] = []
    try:
        for output, text in outputs:
            check_place(output.path)
            target = _target(output.path)
            try:
                parts.append((output, _beside(target, text), target))
            except OSError as error:
                raise _failed(output.path, error) from error
            if not force:
                refuse_foreign(output)
        tell()
        for output, part, target in parts:
            if not force:
                refuse_foreign(output)
            _put(output.path, part, target, force)
    finally:
        for _, part, _ in parts:
            part.unlink(missing_ok=True)


def write_whole(path: str | Path, text: str) -> None:
    """Write a file, replacing one of that name; a failure leaves the old one as it was.

    Parameters:
        text: what it shall hold, written as UTF-8
    Raises:
        OutputError: with the path and the remedy
    """
    write_outputs([(Output(path, ""), text)], force=True)


def write_new(path: str | Path, text: str, tell: Callable[[], object] = lambda: None) -> None:
    """Write a file that is not there yet; one that is there stays as it is.

    Parameters:
        text: what it shall hold, written as UTF-8
        tell: called when all is written and the file not yet there: where it fails there is none
    Raises:
        OutputError: with the path and the remedy
    """
    target = Path(path)
    exists = f"{path}: exists already and was left as it is: name a new file"
    there = _status(path)
    if there is not None and not stat.S_ISDIR(there.st_mode):
        raise OutputError(exists)
    if os.path.islink(target) and there is None:
        raise OutputError(exists)
    check_place(path)
    try:
        part = _beside(target, text)
        try:
            tell()
            _take_name(part, target)
        finally:
            part.unlink(missing_ok=True)
    except FileExistsError:
        raise OutputError(exists) from None
    except OSError as error:
        raise _failed(path, error) from error


def _status(path: str | Path) -> os.stat_result | None:
    """What is at a path; None where nothing is, or no folder on the way to it."""
    try:
        return os.stat(path)
    except (FileNotFoundError, NotADirectoryError):
        return None
    except ValueError:
        raise OutputError(f"{path}: is no name that a file can have: give another") from None
    except OSError as error:
        said = _NO_PLACE.get(error.errno or 0, f"can't be used ({error.strerror}): name another")
        raise OutputError(f"{path}: {said}") from error


def _target(path: str | Path) -> Path:
    """The file a path leads to: a link stays a link, its target is what gets replaced."""
    return Path(os.path.realpath(path))


def _folded(name: str) -> str:
    return unicodedata.normalize("NFC", name).casefold()


def _beside(target: Path, text: str) -> Path:
    """The text in a file of a new name in the same folder, complete on the disk."""
    part = target.with_name(f".{secrets.token_hex(8)}.part")
    _create(part, text.encode("utf-8"))
    return part


def _put(path: str | Path, part: Path, target: Path, force: bool) -> None:
    """Give a finished part the name of its target; without force a file that has come there
    meanwhile stays."""
    try:
        if not target.exists() and not force:
            _take_name(part, target)
            return
        if target.exists():
            part.chmod(stat.S_IMODE(target.stat().st_mode))
        part.replace(target)
    except FileExistsError:
        raise OutputError(
            f"{path}: was made by something else meanwhile and left as it is: name another"
        ) from None
    except OSError as error:
        raise _failed(path, error) from error


def _take_name(part: Path, target: Path) -> None:
    """Give a finished part its name unless the name has been taken meanwhile: FileExistsError."""
    try:
        os.link(part, target)
    except FileExistsError:
        raise
    except OSError:  # a file system without links, such as that of many memory sticks
        _create(target, part.read_bytes())


def _create(target: Path, content: bytes) -> None:
    """A new file, taken back where it cannot be written in full."""
    stream = target.open("xb")
    try:
        with stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
    except BaseException:
        target.unlink(missing_ok=True)
        raise


def _failed(path: str | Path, error: OSError) -> OutputError:
    reason = error.strerror or type(error).__name__
    return OutputError(f"{path}: could not be written ({reason}): name another place")
