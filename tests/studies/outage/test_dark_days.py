"""Days without sun, against a plain loop over their hours."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.studies.outage import huts
from wellsolar.physics.array import module_fit
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.studies.pump.study import study_pumps
from wellsolar.studies.sun.module_sheet import rating_of
from wellsolar.studies.sun.year import year_of_site
from wellsolar.studies.supply.system import feeding_array, pump_supply


class TestDarkDays:
    def test_straight_off_the_modules_by_a_plain_loop(self) -> None:
        file = parse_site(huts.example("village_borehole"))
        year = year_of_site(file).year
        site = file.site
        assert year is not None
        assert site.module is not None
        array = feeding_array(site, year, module_fit.fit_five_parameters(rating_of(site.module)))
        days = [float(array.total[24 * day : 24 * day + 24].sum()) for day in range(365)]
        runs = [sum(days[(day + k) % 365] for k in range(7)) for day in range(365)]
        begin = runs.index(min(runs))
        dark = huts.event(huts.outages(huts.example("village_borehole")), "dark_7")
        assert dark.run.begins == begin
        assert dark.run.energy == pytest.approx(min(runs) / 7 * 3600)
        low = parse_site(
            huts.changed(
                huts.example("village_borehole"),
                ('"43 m (40 m .. 46 m)"', '"46 m"'),
                ('tested_pumping_level = "47 m"', 'tested_pumping_level = "50 m"'),
            )
        )
        pumps, _ = study_pumps(low.site)
        supply = pump_supply(low.site, low.site.pump[0], pumps[0], 7.2, 8760, direct=True)
        assert supply.curve is not None
        pumped = 0.0
        for hour in range(24 * begin, 24 * begin + 168):
            power = min(float(array.total[hour % 8760]), supply.curve.power[-1])
            flow = float(np.interp(power, supply.curve.power, supply.curve.flow, left=0.0))
            pumped += 3600 * flow
        assert dark.cell("solar pump").volume == pytest.approx(pumped / 7, rel=1e-6)
        assert dark.cell("solar pump").limit == "sun on the modules"

    def test_the_battery_goes_through_them_from_the_charge_it_has(self) -> None:
        text = huts.example("ridge_house")
        file = parse_site(huts.changed(text, ('"85 ft (80 ft .. 105 ft)"', '"105 ft"')))
        site, year = file.site, year_of_site(file).year
        assert year is not None
        assert site.module is not None
        array = feeding_array(site, year, module_fit.fit_five_parameters(rating_of(site.module)))
        pumps, _ = study_pumps(site)
        frugal = pumps[1]
        dark = huts.event(huts.outages(text), "dark_3")
        assert dark.run is not None
        # 15 kWh of which 80 % are used, 92 % out over in, 90 % through the inverter, 30 W idle.
        usable, way, most = 12.0, math.sqrt(0.92), frugal.fill.mean_flow * 3600
        need = frugal.energy_per_volume / 3.6e6 / 0.90  # kWh of each m3
        tank = study_site(file, ("tank",)).pressure_tank
        assert tank is not None
        wants = [0.0] * 24
        parts = [(0, 5, 0.05), (5, 11, 0.39), (11, 18, 0.28), (18, 23, 0.27), (23, 24, 0.01)]
        for first, last, part in parts:
            for hour in range(first, last):
                wants[hour] = 240 * huts.GALLON * part / (last - first)

        def hour_of(charge: float, kwh: float, volume: float) -> tuple[float, float]:
            """Charge after an hour, and water of it, with so much room for water."""
            offer = charge * way + kwh
            idle = min(0.030, offer)
            water = min(volume, most, (offer - idle) / need)
            used = idle + water * need
            direct = min(used, kwh)
            charge -= (used - direct) / way
            return min(usable, charge + (kwh - direct) * way), water

        charge, stored, at = usable, tank.drawdown, {}
        for turn in range(2):
            for hour in range(8760):
                kwh = float(array.total[hour]) / 1000
                charge, water = hour_of(charge, kwh, tank.drawdown - stored + wants[hour % 24])
                stored = max(0.0, stored + water - wants[hour % 24])
                at[turn, hour] = charge
        begin = 24 * dark.run.begins
        charge, pumped = at[1, begin - 1], 0.0
        assert charge < usable
        for hour in range(begin, begin + 72):
            charge, water = hour_of(charge, float(array.total[hour % 8760]) / 1000, math.inf)
            pumped += water
        cell = dark.cell("frugal pump")
        assert cell.power == "inverter"
        assert cell.volume == pytest.approx(pumped / 3, rel=1e-3)

    def test_more_battery_never_gives_less(self) -> None:
        text = huts.example("ridge_house")
        more = huts.changed(text, ('"15 kWh"', '"30 kWh"'))
        for key in ("dark_3", "dark_7"):
            small, large = (huts.event(huts.outages(each), key) for each in (text, more))
            assert large.cell("frugal pump").volume > small.cell("frugal pump").volume


def test_what_a_day_of_the_battery_leaves_out_is_told() -> None:
    """An upper figure without other loads, a lower one beside a generator: each where it is so."""

    def said(text: str) -> dict[str, str]:
        return {each.path: each.why for each in huts.studied(text).assumptions}

    battery = '[power]\nbattery_energy = "5 kWh"\n'
    assert "an upper limit" in said(huts.HUT + battery)["power.other_use"]
    loads = f'{battery}other_use = "2 kWh"\n'
    assert "power.other_use" not in said(huts.HUT + loads)
    assert "generator on the battery" not in said(huts.HUT + loads)
    generator = 'generator_rating = "7 kVA"\n'
    assert "not counted" in said(huts.HUT + battery + generator)["generator on the battery"]
    assert "generator on the battery" not in said(f"{huts.HUT}[power]\n{generator}")
