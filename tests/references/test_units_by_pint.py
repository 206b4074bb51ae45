"""Orders and unbalance in the units of the workshop, carried by Pint instead of by hand."""

from typing import Any

import pint
import pytest

from beachmark.mechanics import balance, orders

UNIT: pint.UnitRegistry = pint.UnitRegistry()
# Pint counts a revolution as 2 pi rad; frequencies are compared as revolutions per second.
RPM = "revolution / minute"


def _si(value: float, unit: str, si: str) -> float:
    return float(UNIT.Quantity(value, unit).to(si).magnitude)


def test_orders_in_digits() -> None:
    """1800 rpm: 30 and 60 Hz; 80 km/h on 0.505 m and 3.58: 1504.4 rpm; six cylinders at 1500 rpm: 75 Hz."""
    speed: Any = UNIT.Quantity(1800, RPM)
    for order, hertz in ((1, 30.0), (2, 60.0)):
        per_second = (speed * order).to("revolution / second").magnitude
        assert per_second == pytest.approx(hertz, rel=1e-12)
        found = orders.order_frequency_hz(speed_rad_s=_si(1800, RPM, "rad/s"), order=order)
        assert found == pytest.approx(per_second, rel=1e-12)
        assert orders.order_of_frequency(frequency_hz=found, speed_rad_s=_si(1800, RPM, "rad/s")) == pytest.approx(
            order
        )
    road, girth = UNIT.Quantity(80, "km/hour"), UNIT.Quantity(2 * 3.141592653589793 * 0.505, "m/revolution")
    wheel = (road / girth).to(RPM)
    assert wheel.magnitude * 3.58 == pytest.approx(1504.4, abs=0.05)
    shaft = orders.shaft_speed_rad_s(road_speed_m_s=_si(80, "km/hour", "m/s"), tyre_radius_m=0.505, axle_ratio=3.58)
    assert _si(shaft, "rad/s", RPM) == pytest.approx(wheel.magnitude * 3.58, rel=1e-12)
    # Six cylinders fire once each in two turns.
    firing = (UNIT.Quantity(1500, RPM) * 6 / 2).to("revolution / second").magnitude
    assert firing == pytest.approx(75.0)
    order = orders.firing_order(cylinders=6)
    assert orders.order_frequency_hz(speed_rad_s=_si(1500, RPM, "rad/s"), order=order) == pytest.approx(firing)


def test_unbalance_in_digits() -> None:
    """30 kg 0.1 mm off at 3000 rpm: 296.1 N; G 16 and G 40 at 60 kg and 2500 rpm: 3667 and 9167 g mm."""
    off: Any = UNIT.Quantity(30, "kg") * UNIT.Quantity(0.1, "mm")
    speed: Any = UNIT.Quantity(3000, RPM).to("rad/s")
    force = (off * speed**2 / UNIT.Quantity(1, "rad^2")).to("newton").magnitude
    assert force == pytest.approx(296.1, abs=0.05)
    unbalance = balance.unbalance_from_runout_kg_m(mass_kg=30.0, eccentricity_m=1e-4)
    assert unbalance == pytest.approx(off.to("kg m").magnitude, rel=1e-12)
    found = balance.unbalance_force_n(unbalance_kg_m=unbalance, speed_rad_s=speed.magnitude)
    assert found == pytest.approx(force, rel=1e-12)
    for grade, printed in ((16, 3667), (40, 9167)):
        allowed = balance.permissible_unbalance_kg_m(
            mass_kg=60.0, grade_m_s=_si(grade, "mm/s", "m/s"), speed_rad_s=_si(2500, RPM, "rad/s")
        )
        assert _si(allowed, "kg m", "gram millimeter") == pytest.approx(printed, abs=0.5)
