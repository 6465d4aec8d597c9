"""Halves of the year, what a change saves, and what must never be cut."""

import pytest

from ohmstead.electrical.loads.formulas import saved_idle
from ohmstead.electrical.loads.model import ByMonth, ByPower, BySeason, EveryDay, Load, NoStart, Request, Standby
from ohmstead.electrical.loads.sizing import size_demand
from ohmstead.reference.case import Shelf


@pytest.fixture(scope="module")
def shelf():
    return Shelf()


def load(name, watts, use, current="dc", **more):
    factor = 1.0 if current == "ac" else None
    return Load(name, current, ByPower(watts), EveryDay(use) if isinstance(use, float) else use, duty=1.0, power_factor=factor, start=NoStart(), **more)


def sized(shelf, *loads, voltage=12.0, **more):
    case = shelf.case()
    return size_demand(Request(loads, voltage, wiring_efficiency=1.0, **{"idle_w": 10.0, "inverter_efficiency": 1.0, **more}), case), case


def changes(found):
    return {change.what: (change.load, change.saved_wh) for change in found.changes}


def test_each_half_has_its_own_shares(shelf):
    found, _ = sized(shelf, load("fan", 30.0, BySeason(10.0, 0.0)), load("blower", 100.0, BySeason(0.0, 8.0)), load("light", 20.0, 5.0))
    warm, cold = found.seasons
    assert (warm.name, warm.month, warm.day_energy_wh, warm.line_energy_wh) == ("warm", 3, 400.0, (300.0, 0.0, 100.0))
    assert (cold.name, cold.month, cold.day_energy_wh, cold.line_energy_wh) == ("cold", 0, 900.0, (0.0, 800.0, 100.0))
    assert warm.line_share == (0.75, 0.0, 0.25)
    assert cold.line_share == pytest.approx((0.0, 8 / 9, 1 / 9))


def test_south_of_the_equator_the_months_change_places(shelf):
    found, _ = sized(shelf, load("fan", 30.0, BySeason(10.0, 1.0)), latitude_deg=-35.0)
    assert [season.month for season in found.seasons] == [0, 3]
    assert [season.day_energy_wh for season in found.seasons] == [300.0, 30.0]


def test_the_heaviest_month_of_each_half_counts(shelf):
    hours = (1.0, 2.0, 1.0, 1.0, 1.0, 1.0, 5.0, 1.0, 1.0, 1.0, 1.0, 1.0)
    found, case = sized(shelf, load("pump", 10.0, ByMonth(hours)))
    assert [(season.month, season.day_energy_wh) for season in found.seasons] == [(6, 50.0), (1, 20.0)]
    assert "hemisphere" in {said.name for said in case.assumptions}


def test_where_every_day_is_alike_no_month_is_named(shelf):
    found, case = sized(shelf, load("light", 20.0, 5.0), growth_factor=1.2)
    assert [(season.month, season.day_energy_wh) for season in found.seasons] == [(None, 120.0), (None, 120.0)]
    assert "hemisphere" not in {said.name for said in case.assumptions}


def test_half_of_the_largest(shelf):
    found, _ = sized(shelf, load("light", 20.0, 5.0), load("fan", 30.0, 10.0), growth_factor=1.5)
    assert changes(found) == {"use-half": ("fan", 225.0)}


def test_standby_of_the_load_that_wastes_most(shelf):
    found, _ = sized(
        shelf, load("a", 20.0, 4.0, standby=Standby(1.0)), load("b", 1.0, 4.0, load_count=3.0, standby=Standby(2.0, 10.0)),
        load("c", 50.0, 4.0, standby=Standby(100.0), shore_only=True),
    )
    assert changes(found)["switch-off-standby"] == ("b", 60.0)
    assert found.changes[0].what == "switch-off-standby"


def test_standby_behind_inverter_and_converter_costs_their_losses_too(shelf):
    through, _ = sized(shelf, load("a", 1.0, 4.0, "ac", standby=Standby(9.0, 10.0)), inverter_efficiency=0.9)
    assert changes(through)["switch-off-standby"] == ("a", pytest.approx(100.0))
    behind, _ = sized(shelf, load("a", 1.0, 4.0, standby=Standby(9.0, 10.0), voltage_v=24.0), converter_efficiency=0.9)
    assert changes(behind)["switch-off-standby"] == ("a", pytest.approx(100.0))


def test_an_inverter_that_is_on_for_nothing(shelf):
    """Loads of 2 h and 3 h need it for five hours at most; nineteen at 10 W are saved."""
    found, _ = sized(shelf, load("a", 100.0, 2.0, "ac"), load("b", 100.0, 3.0, "ac"))
    assert changes(found)["inverter-off-between-uses"] == (None, 190.0)
    all_day, _ = sized(shelf, load("a", 100.0, 2.0, "ac"), load("b", 100.0, 24.0, "ac"))
    assert "inverter-off-between-uses" not in changes(all_day)
    waiting, _ = sized(shelf, load("a", 100.0, 2.0, "ac", standby=Standby(1.0)))
    assert "inverter-off-between-uses" not in changes(waiting)
    on_shore, _ = sized(shelf, load("a", 100.0, 2.0, "ac"), load("b", 9.0, 24.0, "ac", shore_only=True))
    assert changes(on_shore)["inverter-off-between-uses"] == (None, 220.0)


def test_what_switching_off_saves_grows_with_the_allowance_and_is_never_below_nought(shelf):
    """19 hours at 10 W with a fifth for growth; on for four hours of the seven that it is needed, nothing is left to save."""
    grown, _ = sized(shelf, load("a", 100.0, 2.0, "ac"), load("b", 100.0, 3.0, "ac"), growth_factor=1.2)
    assert changes(grown)["inverter-off-between-uses"] == (None, pytest.approx(228.0))
    assert saved_idle(10.0, 4.0, 7.0, 1.0) == 0.0


def test_nothing_is_saved_where_nothing_is_taken(shelf):
    found, _ = sized(shelf, load("a", 100.0, 0.0))
    assert found.changes == () and found.dominant is None


def test_critical_loads_have_their_own_line_and_the_always_live_theirs(shelf):
    """A detector of 1.2 W all day is 28.8 Wh, 0.1 A at 12 V and 2.4 Ah; what hangs on inverter or converter is cut with it."""
    found, case = sized(
        shelf, load("detector", 1.2, 24.0, critical=True), load("breathing", 40.0, 8.0, "ac", critical=True),
        load("alarm", 2.4, 24.0, voltage_v=24.0, critical=True), load("pump", 60.0, 1.0, critical=True, shore_only=True), load("light", 20.0, 5.0),
        converter_efficiency=1.0,
    )
    assert found.critical == ("detector", "breathing", "alarm", "pump")
    assert found.critical_energy_wh == pytest.approx(28.8 + 320 + 57.6)
    assert (found.always_live, found.always_live_energy_wh, found.always_live_a) == (("detector",), pytest.approx(28.8), pytest.approx(0.1))
    (finding,) = [finding for finding in case.findings if finding.code == "always-live-drain"]
    assert "detector" in finding.message and "2.4 Ah" in finding.message


def test_without_critical_loads_nothing_stays_live(shelf):
    found, case = sized(shelf, load("light", 20.0, 5.0))
    assert (found.always_live, found.always_live_energy_wh, found.always_live_a) == ((), 0.0, 0.0)
    assert "always-live-drain" not in {finding.code for finding in case.findings}
