"""`wellsolar --help` answers at once: it loads nothing heavy."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).parents[2]
HEAVY = {
    "numpy", "pvlib", "pandas", "scipy", "pint", "CoolProp", "fluids", "matplotlib", "pydantic",
    "rich", "numba",
}  # fmt: skip


def python(code: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", code],
        cwd=CHECKOUT,
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )


@pytest.mark.parametrize("arguments", [["--help"], ["check", "--help"], ["--version"]])
def test_help_loads_nothing_heavy(arguments: list[str]) -> None:
    code = (
        "import sys\n"
        "from wellsolar.__main__ import main\n"
        f"code = main({arguments!r})\n"
        "print('modules:', *sys.modules)\n"
        "sys.exit(code)"
    )
    loaded = python(code).stdout.rsplit("modules:", 1)[1].split()
    assert "click" in loaded
    assert HEAVY & {name.split(".")[0] for name in loaded} == set()


def test_the_package_itself_loads_nothing_heavy() -> None:
    loaded = python("import sys, wellsolar; print(*sys.modules)").stdout.split()
    assert HEAVY & {name.split(".")[0] for name in loaded} == set()


def test_a_missing_site_file_is_told_without_sun_or_tables() -> None:
    code = (
        "import sys\n"
        "from wellsolar.__main__ import main\n"
        "assert main(['check', 'no such file.toml']) == 2\n"
        "print(*sys.modules)"
    )
    assert not {"pvlib", "rich", "pandas", "scipy", "CoolProp"} & set(python(code).stdout.split())


def test_every_public_name_can_be_had() -> None:
    import wellsolar

    for name in wellsolar.__all__:
        assert getattr(wellsolar, name) is not None
    assert set(wellsolar.__all__) <= set(dir(wellsolar))
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        wellsolar.nothing  # noqa: B018


def test_the_version_is_that_of_the_metadata() -> None:
    import tomllib

    import wellsolar

    metadata = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))
    assert metadata["project"]["version"] == wellsolar.__version__


def test_threads_of_linear_algebra_are_held_to_one_unless_told() -> None:
    code = (
        "import os\n"
        "from wellsolar.__main__ import main\n"
        "main(['--version'])\n"
        "print(os.environ['OPENBLAS_NUM_THREADS'])"
    )
    for told, expected in ((None, "1"), ("3", "3")):
        environment = {**os.environ}
        environment.pop("OPENBLAS_NUM_THREADS", None)
        if told:
            environment["OPENBLAS_NUM_THREADS"] = told
        done = subprocess.run(
            [sys.executable, "-c", code], cwd=CHECKOUT, env=environment, capture_output=True,
            text=True, check=True, timeout=60,
        )  # fmt: skip
        assert done.stdout.split()[-1] == expected
