"""Four invented vehicles whose events are replayed in tests and in the study: no such vehicle exists."""

from textwrap import indent

_TUBE = "{outer_diameter: %s mm, wall: %s mm, yield_stress: {value: 420 MPa, plus_minus: 40 MPa}}"
_SLIP = "{root_diameter: %s mm, yield_stress: {value: 650 MPa, plus_minus: 80 MPa}}"
_CROSS = (
    "{arm_radius: %s mm, trunnion_diameter: %s mm, root_distance: %s mm, grease_bore: 6 mm, "
    "yield_stress: {value: 800 MPa, plus_minus: 60 MPa}}"
)
_HEAVY_CROSS, _LIGHT_CROSS = _CROSS % (70, 31, 21), _CROSS % (62, 28, 19)

_LINE = f"""
driveline:
  gearbox_end: {{slope: -3 deg}}
  shafts:
  - length: 1150 mm
    slope: {{value: -3.5 deg, plus_minus: 0.2 deg}}
    phase: 0 deg
    support: true
    tube: {_TUBE % (114, 5)}
  - length: 1600 mm
    slope: {{value: -7 deg, plus_minus: 0.2 deg}}
    phase: 0 deg
    tube: {_TUBE % (114, 5)}
    slip: {_SLIP % 66}
  joints:
  - cross: {_HEAVY_CROSS}
  - cross: {_HEAVY_CROSS}
  - cross: {_HEAVY_CROSS}
  axle_end: {{slope: -3.2 deg}}
"""
_AXLE = "ratio: 4.3, load: {value: 19000 kg, plus_minus: 800 kg}"
_BOX = "first_gear: 12.3, top_gear: 0.8, reverse_gear: 11.2"


def _tipper(*, box: str = _BOX, axle: str = _AXLE, line: str = _LINE) -> str:
    values = f"""
kind: tipper
engine: {{peak_torque: 2200 N m, governed_speed: 2000 rpm, idle_speed: 600 rpm}}
gearbox: {{{box}}}
axle: {{{axle}}}
tyre: {{rolling_radius: 500 mm}}
duty: {{mass: {{value: 26 t, plus_minus: 2 t}}}}
"""
    return f"vehicle:\n{indent(values.strip(), '  ')}{line}"


_ON_THE_SHAFT = f"  - cross: {_HEAVY_CROSS}\n    added_inertia: {{value: 1.2 kg m2, plus_minus: 0.2 kg m2}}\n"

PLAIN = _tipper()
RETARDER = _tipper(
    box=f"{_BOX}, retarder_torque: 3200 N m, power_take_off: true",
    line=_LINE.replace(f"  - cross: {_HEAVY_CROSS}\n", "!", 1).replace("!", _ON_THE_SHAFT),
)
TANDEM = _tipper(axle="ratio: 4.3, load: {value: 9500 kg, plus_minus: 500 kg}, second_load: 9500 kg")
BUS = f"""
vehicle:
  kind: bus
  engine: {{peak_torque: 1300 N m, governed_speed: 2300 rpm, idle_speed: 600 rpm}}
  gearbox: {{first_gear: 3.5, top_gear: 0.62, reverse_gear: 4.8, converter: true}}
  axle: {{ratio: 5.7, load: {{value: 11500 kg, plus_minus: 500 kg}}}}
  tyre: {{rolling_radius: 480 mm}}
  duty: {{mass: {{value: 17 t, plus_minus: 1.5 t}}}}
driveline:
  gearbox_end: {{slope: -2 deg}}
  shafts:
  - length: 900 mm
    slope: {{value: -6 deg, plus_minus: 0.2 deg}}
    phase: 0 deg
    tube: {_TUBE % (100, 4)}
    slip: {_SLIP % 58}
  joints:
  - cross: {_LIGHT_CROSS}
  - cross: {_LIGHT_CROSS}
  axle_end: {{slope: -2.5 deg}}
"""

VEHICLES = {
    "plain two-piece": PLAIN,
    "retarder on the shaft": RETARDER,
    "two driven axles": TANDEM,
    "bus with converter": BUS,
}
