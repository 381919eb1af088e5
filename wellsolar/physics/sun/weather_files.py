"""A year of hours from a file: typical meteorological year, or plain columns.

Both take the open file's text, never a path. Rows are hours in the order of the year, the first
from 00:00 to 01:00 of the first of January, in local standard time without summer time.
"""

from __future__ import annotations

import csv
from collections.abc import Collection, Mapping, Sequence
from io import StringIO
from types import MappingProxyType
from typing import Any, Final, TextIO

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_range
from wellsolar.physics.sun import clearness, light, position
from wellsolar.physics.sun.year import HourlyYear, YearOfHours, hours_of_year
from wellsolar.physics.types import FloatArray

TMY3_YEAR: Final = 1990
"""Year that all rows of a typical year are put into; a common year, else of no importance."""

BOUNDS: Final = MappingProxyType(
    {
        "global_horizontal": (-10.0, 1500.0, "W/m2"),
        "direct_normal": (-10.0, 1400.0, "W/m2"),
        "diffuse_horizontal": (-10.0, 1000.0, "W/m2"),
        "air_temperature": (-70.0, 60.0, "degC"),
        "wind_speed": (0.0, 60.0, "m/s"),
    }
)
"""Least and greatest that an hour may hold; common practice, no source. Down to -10 W/m2 is the
zero error of a sensor at night and counts as 0."""

TMY3_COLUMNS: Final = MappingProxyType(
    {
        "global_horizontal": "GHI (W/m^2)",
        "direct_normal": "DNI (W/m^2)",
        "diffuse_horizontal": "DHI (W/m^2)",
        "air_temperature": "Dry-bulb (C)",
        "wind_speed": "Wspd (m/s)",
    }
)
"""Columns of the TMY3 format that are used; Wilcox & Marion, NREL/TP-581-43156 (2008)."""

CSV_COLUMNS: Final = MappingProxyType(
    {
        "global_horizontal": "ghi",
        "direct_normal": "dni",
        "diffuse_horizontal": "dhi",
        "air_temperature": "temperature",
        "wind_speed": "wind",
    }
)
"""Names of the columns of a plain file."""

_BRIGHT_NIGHT: Final = 20.0
"""Global irradiance [W/m2] that no night has; more there means a wrong clock or place."""

_DEEP_NIGHT: Final = MappingProxyType({True: 100.0, False: 120.0})
"""Zenith angle [deg] at the middle of an hour that is surely all night, with and without a
longitude: half an hour of turning, or one and a half, on top of the 90 deg of sunset."""


def year_from_tmy3(text: TextIO) -> HourlyYear:
    """A typical meteorological year in the TMY3 format.

    All rows are put into one common year. A row is stamped with the end of its hour, so the sun is
    placed half an hour before the stamp.

    Parameters:
        text: the open file [text]
    Returns:
        the year [W/m2, degC, m/s]; place and altitude are the file's
    Raises:
        OutOfRange: not 8760 hours, a column that is missing, or a value that cannot be; the
            message names column, row and value
    Source: Wilcox & Marion, Users Manual for TMY3 Data Sets, NREL/TP-581-43156 (2008); reader and
        sun position (Reda & Andreas, NREL/TP-560-34302) of pvlib.
    """
    import pvlib  # takes half a second, which no other year needs

    content = _content(text)
    lines = content.splitlines()
    _require_tmy3(lines)
    try:
        data, place = pvlib.iotools.read_tmy3(
            StringIO(content), coerce_year=TMY3_YEAR, map_variables=False
        )
    except (ValueError, KeyError, IndexError, AttributeError, TypeError) as error:
        raise OutOfRange(f"the file cannot be read as TMY3: {error}") from error
    latitude, longitude, altitude = (
        float(place[name]) for name in ("latitude", "longitude", "altitude")
    )
    require_range(latitude, -90.0, 90.0, "latitude", "deg")
    columns = {
        field: _checked(field, name, data[name].to_numpy(), range(3, len(lines) + 1))
        for field, name in TMY3_COLUMNS.items()
    }
    return HourlyYear(
        source="typical meteorological year, TMY3",
        latitude=latitude,
        altitude=altitude,
        hours=_hours_before(data.index, latitude, longitude, altitude),
        **columns,
    )


def year_from_csv(
    text: TextIO,
    latitude: float,
    altitude: float,
    longitude: float | None = None,
    time_zone: float | None = None,
) -> HourlyYear:
    """A year of hours from comma-separated columns with their names in the first row.

    Irradiances are W/m2, air degC, wind m/s. Of global, direct and diffuse any two are enough, or
    global alone, which is then split by the curve of Erbs. Rows that begin with `#` are passed
    over. A year of 366 days has 8784 rows.

    Parameters:
        text: the open file [text]
        latitude: north positive [deg], scalar
        altitude: above the sea [m], scalar
        longitude: east positive; without it the rows are solar time [deg], scalar
        time_zone: of the rows, hours ahead of Greenwich; without it the nearest whole hour to the
            longitude [h], scalar
    Returns:
        the year [W/m2, degC, m/s]
    Raises:
        OutOfRange: a column that is missing, not 8760 or 8784 rows, a value that is no number or
            cannot be, or sun at night; the message names column, row and value
    Source: Erbs, Klein & Duffie, Solar Energy 28 (1982) 293 (second hand), for global alone.
    """
    require_range(altitude, -500.0, 9000.0, "altitude", "m")
    columns, rows = _csv_columns(text)
    count = len(rows)
    if count not in (8760, 8784):
        raise OutOfRange(f"the file has {count} rows of hours, allowed is 8760 or 8784, a year")
    hours = hours_of_year(latitude, longitude, time_zone, days_in_year=count // 24)
    values = {
        field: _checked(field, CSV_COLUMNS[field], np.array(cells, dtype=object), rows)
        for field, cells in columns.items()
    }
    for field in ("global_horizontal", "direct_normal", "diffuse_horizontal"):
        if field in values:
            name = CSV_COLUMNS[field]
            _require_dark_nights(hours, values[field], name, rows, longitude is not None)
    split = _completed(hours, altitude, values)
    return HourlyYear(
        source="hourly file",
        latitude=latitude,
        altitude=altitude,
        hours=hours,
        global_horizontal=split.global_horizontal,
        direct_normal=split.direct_normal,
        diffuse_horizontal=split.diffuse_horizontal,
        air_temperature=values["air_temperature"],
        wind_speed=values.get("wind_speed", np.ones(count)),
    )


def _content(text: TextIO) -> str:
    """All of the file, without the mark that some programs put at its beginning."""
    try:
        return text.read().removeprefix("\ufeff").rstrip()
    except UnicodeDecodeError as error:
        raise OutOfRange("the file is not a text file in UTF-8") from error


def _require_tmy3(lines: Sequence[str]) -> None:
    names = next(csv.reader(lines[1:2]), [])
    for name in ("Date (MM/DD/YYYY)", "Time (HH:MM)", *TMY3_COLUMNS.values()):
        if name not in names:
            raise OutOfRange(f'the second row has no column "{name}", so the file is no TMY3 file')
    if len(lines) - 2 != 8760:
        raise OutOfRange(f"the file has {len(lines) - 2} rows of hours, allowed is 8760, a year")


def _hours_before(stamps: Any, latitude: float, longitude: float, altitude: float) -> YearOfHours:
    """The hours that end at the stamps of a pandas index."""
    import pvlib

    middle = stamps - np.timedelta64(30, "m")
    sun = pvlib.solarposition.get_solarposition(middle, latitude, longitude, altitude)
    day = middle.day_of_year.to_numpy().astype(np.float64)
    hour = middle.hour.to_numpy() + 0.5
    in_order = np.arange(day.size)
    if not (np.all(day == 1 + in_order // 24) and np.all(hour == 0.5 + in_order % 24)):
        raise OutOfRange("the rows are not the hours of a year in their order")
    return YearOfHours(
        month=middle.month.to_numpy().astype(np.int64),
        day_of_year=day,
        hour_of_day=hour,
        zenith=sun["apparent_zenith"].to_numpy(),
        sun_azimuth=sun["azimuth"].to_numpy(),
        extraterrestrial_normal=np.asarray(position.extraterrestrial_normal(day)),
    )


def _csv_columns(text: TextIO) -> tuple[dict[str, list[str]], list[int]]:
    """Cells of the columns that are there, and the file's line of each row."""
    reader = csv.reader(StringIO(_content(text)))
    names: list[str] = []
    cells: list[list[str]] = []
    rows: list[int] = []
    for row in reader:
        if not row or row[0].lstrip().startswith("#"):
            continue
        if not names:
            names = [name.strip() for name in row]
            continue
        if len(row) != len(names):
            raise OutOfRange(
                f"row {reader.line_num} has {len(row)} columns, allowed is {len(names)}, as in "
                "the first row"
            )
        cells.append(row)
        rows.append(reader.line_num)
    there = {field: names.index(name) for field, name in CSV_COLUMNS.items() if name in names}
    _require_columns(there, names)
    by_column = list(zip(*cells, strict=True)) if cells else [()] * len(names)
    return {field: list(by_column[place]) for field, place in there.items()}, rows


def _require_columns(there: Collection[str], names: Sequence[str]) -> None:
    head = ", ".join(names) or "nothing"
    if "global_horizontal" not in there and not {"direct_normal", "diffuse_horizontal"} <= set(
        there
    ):
        raise OutOfRange(
            'the file has neither a column "ghi" of global irradiance on the horizontal nor both '
            f'"dni" and "dhi"; its first row has {head}'
        )
    if "air_temperature" not in there:
        raise OutOfRange(
            f'the file has no column "temperature" of air temperature; its first row has {head}'
        )


def _checked(field: str, name: str, cells: Any, rows: Sequence[int]) -> FloatArray:
    """Numbers of a column, all within their bounds; negative irradiance as 0."""
    least, greatest, unit = BOUNDS[field]
    try:
        values = np.asarray(cells, dtype=np.float64)
    except (ValueError, TypeError):
        place = next(place for place, cell in enumerate(cells) if not _is_number(cell))
        raise OutOfRange(
            f'column "{name}", row {rows[place]}: "{cells[place]}" is not a number'
        ) from None
    wrong = np.flatnonzero(~((values >= least) & (values <= greatest)))
    if wrong.size:
        place = int(wrong[0])
        raise OutOfRange(
            f'column "{name}", row {rows[place]}: {values[place]:g} {unit}, allowed is '
            f"{least:g} to {greatest:g} {unit}"
        )
    return np.maximum(values, 0.0) if unit == "W/m2" else values


def _is_number(cell: object) -> bool:
    try:
        float(str(cell))
    except ValueError:
        return False
    return True


def _require_dark_nights(
    hours: YearOfHours, value: FloatArray, name: str, rows: Sequence[int], placed: bool
) -> None:
    wrong = np.flatnonzero((value > _BRIGHT_NIGHT) & (hours.zenith > _DEEP_NIGHT[placed]))
    if wrong.size:
        place = int(wrong[0])
        raise OutOfRange(
            f'column "{name}", row {rows[place]}: {value[place]:g} W/m2 at night, the sun is '
            f"{hours.zenith[place] - 90.0:.0f} deg below the horizon; rows are local standard "
            "time from the first of January, and latitude, longitude and time zone are the file's"
        )


def _completed(
    hours: YearOfHours, altitude: float, values: Mapping[str, FloatArray]
) -> light.Light:
    """Global, direct and diffuse from those that the file has."""
    up = np.maximum(np.cos(np.radians(hours.zenith)), 0.0)
    total, direct, diffuse = (
        values.get(field) for field in ("global_horizontal", "direct_normal", "diffuse_horizontal")
    )
    if total is None:
        assert direct is not None  # _require_columns saw to both
        assert diffuse is not None
        return light.Light(diffuse + direct * up, direct, diffuse)
    if direct is not None:
        rest = np.maximum(total - direct * up, 0.0) if diffuse is None else diffuse
        return light.Light(total, direct, rest)
    if diffuse is None:
        outside = np.maximum(hours.extraterrestrial_normal * up, 1e-9)
        index = np.clip(total / outside, 0.0, 1.0)
        diffuse = total * np.asarray(clearness.hourly_diffuse_fraction(index))
    beam = np.maximum(total - diffuse, 0.0)
    return light.with_beam(hours, altitude, total, beam)
