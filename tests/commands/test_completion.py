"""Shell completion as click generates it: the script, the commands, their options and paths."""

from __future__ import annotations

from typing import Any

import pytest


def completed(run: Any, words: str) -> list[str]:
    """What bash is offered for the last of the words, each with its type."""
    done = run(
        _WELLSOLAR_COMPLETE="bash_complete",
        COMP_WORDS=words,
        COMP_CWORD=str(len(words.split(" ")) - 1),
    )
    assert done.returncode == 0
    assert done.stderr == b""
    return list(done.stdout.decode().split())


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_each_shell_gets_a_script(run: Any, shell: str) -> None:
    done = run(_WELLSOLAR_COMPLETE=f"{shell}_source")
    assert done.returncode == 0
    assert f"_WELLSOLAR_COMPLETE={shell}_complete".encode() in done.stdout


def test_commands_and_options_are_completed(run: Any) -> None:
    assert completed(run, "wellsolar out") == ["plain,outage"]
    assert completed(run, "wellsolar check --wi") == ["plain,--with"]
    assert completed(run, "wellsolar pump x.toml --sto") == ["plain,--stock"]


@pytest.mark.parametrize("command", ["check", "compare", "starter", "schema", "ask"])
def test_places_are_completed_as_files(run: Any, command: str) -> None:
    assert completed(run, f"wellsolar {command} exa") == ["file,exa"]
