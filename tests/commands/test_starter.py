"""The starter file: read without a mistake, studied, and never written over a user's own."""

from __future__ import annotations

import json
import os
import re
from pathlib import Path
from typing import Any

import pytest

from wellsolar.site.loading.read import load_site
from wellsolar.site.starter import starter_text


def test_it_is_written_and_can_be_studied_at_once(run_here: Any, tmp_path: Path) -> None:
    written = run_here("starter", "site.toml")
    assert written.returncode == 0
    assert written.stderr == b""
    assert b"wellsolar check site.toml" in written.stdout
    assert (tmp_path / "site.toml").read_text(encoding="utf-8") == starter_text()
    checked = run_here("check", "site.toml", "--json", "-")
    assert checked.returncode in (0, 1)
    assert checked.stderr == b""
    verdicts = json.loads(checked.stdout)["verdicts"]
    assert [each["key"] for each in verdicts if each["status"] == "unknown"] == []
    assert (checked.returncode == 1) == any(each["status"] == "fail" for each in verdicts)


def test_it_describes_every_table(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    path.write_text(starter_text(), encoding="utf-8")
    site = load_site(path).site
    # A valve beside the switch would give every pump of a first file another tank.
    beside = {"constant_pressure_valve"}
    # What bound the keys of a design is written by `size`, never by hand.
    # A second well would ask every pump of it in which it hangs.
    left_out = beside | {"sized", "other_well"}
    assert all(getattr(site, name) for name in type(site).model_fields if name not in left_out)
    assert all(f"# [{name}]" in starter_text() for name in beside)
    assert "# [[other_well]]" in starter_text()


def test_nearly_every_key_of_the_schema_stands_in_it() -> None:
    from wellsolar.site import schema
    from wellsolar.site.shape import table_of

    def keys(table: type[schema.Table]) -> set[str]:
        found: set[str] = set()
        for name, field in table.model_fields.items():
            inside = table_of(field)
            found |= keys(inside) if inside else {name}
        return found

    there = set(re.findall(r"(?:^|[{,]|# )\s*([a-z_]+) = ", starter_text(), re.MULTILINE))
    rare = {"required_suction_head"}
    named = {"code_letter"}
    assert keys(schema.Site) - there - rare - named == set()
    assert all(key in starter_text() for key in named)


def test_its_units_are_those_of_the_person(run_here: Any) -> None:
    run_here("starter", "site.toml")
    assert b" psi" in run_here("tank", "site.toml").stdout
    metric = run_here("tank", "site.toml", "--units", "si").stdout
    assert b" kPa" in metric
    assert b" psi" not in metric.split(b"Pressure tank\n")[1].split(b"What can hurt")[0]


@pytest.mark.parametrize("content", [b"", b"mine"])
def test_an_existing_file_stays(run: Any, tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "site.toml"
    path.write_bytes(content)
    done = run("starter", "site.toml")
    assert done.returncode == 2
    assert done.stdout == b""
    expected = b"wellsolar: site.toml: exists already and was left as it is: name a new file\n"
    assert done.stderr == expected
    assert path.read_bytes() == content
    assert list(tmp_path.iterdir()) == [path]


def test_a_link_that_leads_nowhere_stays_too(run: Any, tmp_path: Path) -> None:
    (tmp_path / "site.toml").symlink_to(tmp_path / "elsewhere.toml")
    assert run("starter", "site.toml").returncode == 2
    assert not (tmp_path / "elsewhere.toml").exists()


def test_it_makes_no_folder(run: Any, tmp_path: Path) -> None:
    done = run("starter", "new/site.toml")
    assert done.returncode == 2
    assert b"there is no folder" in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_folder_is_no_place_for_a_text(run: Any, tmp_path: Path) -> None:
    (tmp_path / "sites").mkdir()
    done = run("starter", "sites")
    assert done.returncode == 2
    assert b"is a folder: name a file in it" in done.stderr
    assert list((tmp_path / "sites").iterdir()) == []


def test_it_is_readable_by_others_as_the_umask_allows(run: Any, tmp_path: Path) -> None:
    previous = os.umask(0o022)
    try:
        run("starter", "site.toml")
    finally:
        os.umask(previous)
    assert (tmp_path / "site.toml").stat().st_mode & 0o777 == 0o644
