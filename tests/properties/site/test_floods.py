"""Files that flood: what they hold too much of is told in one line or in fifty, and counted."""

from __future__ import annotations

import random
import time
import tomllib
from pathlib import Path

import pytest

from tests.sampled import every
from wellsolar.errors import MOST_TOLD, SiteFileError
from wellsolar.site import shape
from wellsolar.site.loading.read import load_site, parse_site, site_from
from wellsolar.site.readings.file import load_readings
from wellsolar.site.schema import Site

WELL = '[well]\ndepth = "200 ft"\nstatic_level = "85 ft"\n'
MANY = 3000
PUMP = (
    '[[pump]]\nname = "p{n}"\nintake_depth = "150 ft"\nflow = "0, 2 gpm"\nhead = "400, 330 ft"\n'
)

FLOODS = {
    "keys": (WELL + "".join(f"k{n} = 1\n" for n in range(MANY)), MANY),
    "keys at the top": ("".join(f"k{n} = 1\n" for n in range(MANY)) + WELL, MANY),
    "tables": (WELL + "".join(f"[t{n}]\n" for n in range(MANY)), MANY),
    "tables within": (WELL + "".join(f"[well.t{n}]\n" for n in range(MANY)), MANY),
    "keys in braces": (
        'well = { depth = "200 ft", static_level = "85 ft", '
        + ", ".join(f"k{n} = 1" for n in range(MANY)) + " }\n", MANY,
    ),
    "pumps": (WELL + "".join(PUMP.format(n=n) for n in range(MANY)), 1),
    "pumps of one name": (WELL + PUMP.format(n=1) * MANY, 1),
    "prices": (WELL + '[[price]]\nitem = "pump"\ncost = 1\n' * MANY, 1),
    "names": (
        WELL + '[[outage]]\nname = "x"\ndays = 3\nfailed = ['
        + ", ".join(f'"n{n}"' for n in range(MANY)) + "]\n", 1,
    ),
    "elements": (
        WELL + '[water_heater]\nvolume = "50 gal"\n'
        + '[[water_heater.element]]\nposition = "lower"\n' * MANY, 1,
    ),
    "fittings": (WELL + '[[piping.fittings]]\nkind = "elbow"\ncount = 1\n' * MANY, 1),
    "values": (
        WELL + '[[pump]]\nname = "p"\nflow = "' + ",".join("1" for n in range(MANY))
        + ' gpm"\nhead = "3 ft"\n', 1,
    ),
    "keys twice": (WELL + 'depth = "3 ft"\n' * MANY, None),
    "heads twice": (WELL + "[well]\n" * MANY, None),
    "words": (WELL + "".join(f"just words {n}\n" for n in range(MANY)), None),
    "bare texts": (WELL + "".join(f"k{n} = two words\n" for n in range(MANY)), 2 * MANY),
    "quotes": (WELL + '"' * 9 * MANY, None),
    "brackets": (WELL + "x = " + "[" * 9 * MANY, None),
}  # fmt: skip


@pytest.mark.parametrize("flood", every(FLOODS, 3))
def test_fifty_mistakes_are_told_and_the_rest_counted(flood: str) -> None:
    text, count = FLOODS[flood]
    with pytest.raises(SiteFileError) as told:
        parse_site(text, "flood.toml")
    error = told.value
    assert 1 <= len(error.problems) <= MOST_TOLD
    assert len(str(error)) < 60_000
    if count is not None:
        assert error.count == count
    if error.count > MOST_TOLD:
        assert str(error).endswith(
            f"{error.count} mistakes in flood.toml, the first 50 of them above"
        )
        lines = [each.line or 0 for each in error.problems]
        assert lines == sorted(lines)


def test_a_flood_takes_little_more_than_reading_it_as_toml() -> None:
    # 100,000 keys, read as TOML in 0.5 s, are told of in 3 s.
    text = WELL + "".join(f"k{n} = 1\n" for n in range(20_000))
    begun = time.process_time()
    tomllib.loads(text)
    between = time.process_time()
    with pytest.raises(SiteFileError):
        parse_site(text)
    assert time.process_time() - between < 25.0 * (between - begun)


def test_every_list_of_tables_has_a_most() -> None:
    """One more than the most is refused in one line, at whatever depth the list stands."""
    seen = []
    for table in (Site, *(shape.table_of(each) for each in Site.model_fields.values())):
        for name, field in () if table is None else table.model_fields.items():
            inner = shape.table_of(field)
            if inner is None or not shape.is_array(field):
                continue
            most = shape.most_of(field)
            assert most is not None, name
            seen.append(name)
            rows = [{}] * (most + 1)
            above = next((key for key, each in Site.model_fields.items()
                          if shape.table_of(each) is table), None)  # fmt: skip
            tables = {name: rows} if above is None else {above: {name: rows}}
            assert shape.too_many(tables)[1].endswith(f"a site has at most {most}")
            assert shape.too_many({name: rows[:-1]}) is None
    assert {"pump", "lift", "array", "outage", "price", "element", "fittings"} <= set(seen)


def test_a_path_of_very_many_parts_is_a_mistake() -> None:
    pick = random.Random(14)
    site = {"well": {"depth": "200 ft", "static_level": "85 ft"}}
    for parts in (10, 600, 20_000):
        words = [pick.choice(["well", "pump[1]", "a", "site"]) for _ in range(parts)]
        for setting in (".".join(words) + "=1", ".".join(["well"] * parts) + "=1"):
            with pytest.raises(SiteFileError) as told:
                parse_site(WELL, settings=[setting])
            assert len(str(told.value)) < 1000
            with pytest.raises(SiteFileError):
                site_from(site).with_values({setting.removesuffix("=1"): 1})
    deep: dict[str, object] = {}
    for _ in range(5000):
        deep = {"well": deep}
    for broken in (deep, {"well": {"depth": [deep]}}):
        with pytest.raises(SiteFileError, match="nests tables or lists more than"):
            site_from(broken)
    with pytest.raises(SiteFileError):
        site_from(site).with_values({"well": deep})


def test_readings_flood(tmp_path: Path) -> None:
    floods = {
        "many.toml": '[[reading]]\nelement_amps = "8 A"\n' * 2000,
        "keys.toml": "[[reading]]\n" + "".join(f"k{n} = 1\n" for n in range(2000)),
        "misspelt.toml": '[[reading]]\nelement_ampz = "8 A"\n' * 900,
        "many.csv": "element amps (A)\n" + "8\n" * 2000,
        "columns.csv": ",".join(f"c{n}" for n in range(2000)) + "\n1\n",
        "misread.csv": "element amps (A)\n" + "x\n" * 900,
    }
    for name, text in floods.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
        with pytest.raises(SiteFileError) as told:
            load_readings(tmp_path / name)
        assert told.value.count == (900 if name.startswith("mis") else 1)
        assert len(told.value.problems) <= MOST_TOLD
    (tmp_path / "site.toml").write_text(FLOODS["keys"][0], encoding="utf-8")
    with pytest.raises(SiteFileError, match=rf"{MANY} mistakes in .*, the first 50"):
        load_site(tmp_path / "site.toml")
