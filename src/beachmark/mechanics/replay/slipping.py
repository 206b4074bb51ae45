"""Lines for what slips: friction clutch and brake, torque converter, tyre.

Sources: friction pair in series with a spring-damper (Coulomb slider; exact stick and slip, derived). Tyre: Canudas de
Wit, Olsson, Astrom & Lischinsky, A new model for control of systems with friction, IEEE Trans. Automatic Control 40
(1995), lumped, with relaxation by rolling; valid at standstill (form from memory). Converter: Newton's rule of fluid
couplings, torque in proportion to the square of the pump speed at a given speed ratio (common practice, no source).
"""

from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.replay.courses import course
from beachmark.mechanics.replay.sheet import Sheet, Values, difference, inverse_or_zero
from beachmark.mechanics.replay.train import Converter, FrictionClutch, Tyre

FRICTION_CLIP = 1.15
"""Greatest tyre force over friction times load while the contact builds up (assumed, no source)."""
LEAST_FRICTION = 1e-3
_SLOWEST_PUMP_RAD_S = 1.0
"""Below this pump speed the speed ratio is taken as if at it: hardly any torque passes there."""


def add_clutch(sheet: Sheet, part: FrictionClutch) -> None:
    """Friction pair in series with a spring-damper, between two stations or against the frame."""
    places = [sheet.layout.place[name] for name in (part.driving, part.driven) if name]
    stiffness, damping = f"{part.name}.stiffness_nm_rad", f"{part.name}.damping_nm_s_rad"
    capacity = sheet.line(f"hi(0.0, {course(sheet, f'{part.name}.capacity', '_nm')})")
    slid, speed, torque = add_slider(sheet, places, (stiffness, damping), capacity)
    torque = sheet.load(part.name, torque)
    sheet.push(part.driving, f"- {torque}")
    if part.driven is not None:
        sheet.push(part.driven, f"+ {torque}")
    sheet.losses[part.name] = f"{torque}*{speed} - {sheet.constant(stiffness)}*{slid}*d{slid}"


def add_slider(sheet: Sheet, places: list[int], spring: tuple[str, str], capacity: str) -> tuple[str, str, str]:
    """Write a slider's load, the rate of its spring and its move; return spring, speed over it, and load.

    The spring follows the speed until the friction pair gives way. places: the freedoms at its ends; spring: the
    names of the parameters stiffness and damping.
    """
    stiffness, damping = (sheet.constant(name) for name in spring)
    give = sheet.constant(f"1/{spring[1]}", lambda values: 1.0 / values[spring[1]])
    per = sheet.constant(f"{spring[0]}/{spring[1]}", lambda values: values[spring[0]] / values[spring[1]])
    slid, speed = sheet.slip(), sheet.line(" - ".join(f"w{place}" for place in places))
    load = sheet.line(f"lo(hi({stiffness}*{slid} + {damping}*{speed}, -{capacity}), {capacity})")
    sheet.rates.append(f"d{slid} = ({load} - {stiffness}*{slid})*{give}")
    sheet.stored.append(f"0.5*{stiffness}*{slid}*{slid}")
    half_speed = " - ".join(f"wh{place}" for place in places)
    back, room = f"{per}*({slid} + 0.5*h*d{slid})", f"{sheet.carried(capacity)}*{give}"
    sheet.moves.append(f"{slid}n = {slid} + h*lo(hi({half_speed}, -{room} - {back}), {room} - {back})")
    return slid, speed, load


def add_converter(sheet: Sheet, part: Converter) -> None:
    """Torque converter by its table; beyond the table's ends its last values hold."""
    pump, turbine = sheet.layout.place[part.pump], sheet.layout.place[part.turbine]
    ratio = sheet.line(f"w{turbine}/hi(mag(w{pump}), {_SLOWEST_PUMP_RAD_S})")
    capacity = table(sheet, f"{part.name}.speed_ratio", f"{part.name}.capacity_nm_s2_rad2", part.knots, ratio)
    gain = table(sheet, f"{part.name}.speed_ratio", f"{part.name}.torque_ratio", part.knots, ratio)
    taken = sheet.line(f"{capacity}*w{pump}*mag(w{pump})")
    given = sheet.load(part.name, f"{gain}*{taken}")
    sheet.push(part.pump, f"- {taken}")
    sheet.push(part.turbine, f"+ {given}")
    sheet.losses[part.name] = f"{taken}*w{pump} - {given}*w{turbine}"


def table(sheet: Sheet, at: str, of: str, knots: int, variable: str) -> str:
    """Write the value of a table with straight pieces, held beyond its ends, and return its symbol."""
    terms = [sheet.constant(f"{of}_0")]
    for knot in range(knots - 1):
        low, high = f"{at}_{knot}", f"{at}_{knot + 1}"

        def slope(values: Values, knot: int = knot, low: str = low, high: str = high) -> FloatArray:
            rise: FloatArray = values[f"{of}_{knot + 1}"] - values[f"{of}_{knot}"]
            return rise * inverse_or_zero(values[high] - values[low])

        steep = sheet.constant(f"slope {of}_{knot}", slope)
        start = sheet.constant(low)
        width = sheet.constant(f"width {at}_{knot}", difference(high, low))
        terms.append(f"{steep}*hi(0.0, lo({width}, {variable} - {start}))")
    return sheet.line(" + ".join(terms))


def add_tyre(sheet: Sheet, part: Tyre) -> None:
    """Bristles that bend by the slip, give way at the friction, and are renewed by rolling."""
    if sheet.layout.vehicle is None:
        return
    wheel, vehicle = sheet.layout.place[part.wheel], sheet.layout.place[sheet.layout.vehicle.name]
    radius, load = sheet.constant(f"{part.name}.radius_m"), sheet.constant(f"{part.name}.load_n")
    bent, slip = sheet.slip(), sheet.line(f"{radius}*w{wheel} - w{vehicle}")
    friction = sheet.line(f"hi({LEAST_FRICTION}, {course(sheet, f'{part.name}.friction', '')})")
    stiffness, damping = sheet.constant(f"{part.name}.stiffness_per_m"), sheet.constant(f"{part.name}.damping_s_m")
    rate = _renewal(sheet, part.name, (slip, friction, stiffness, f"w{vehicle}"))
    sheet.rates.append(f"d{bent} = {slip} - {rate}*{bent}")
    pull = f"lo(hi({stiffness}*{bent} + {damping}*d{bent}, -{FRICTION_CLIP}*{friction}), {FRICTION_CLIP}*{friction})"
    force = sheet.load(part.name, f"{load}*{pull}")
    sheet.push(part.wheel, f"- {radius}*{force}")
    sheet.push(sheet.layout.vehicle.name, f"+ {force}")
    sheet.losses[part.name] = f"{force}*{slip} - {load}*{stiffness}*{bent}*d{bent}"
    sheet.stored.append(f"0.5*{load}*{stiffness}*{bent}*{bent}")
    # The renewal can be quick (fast slip on ice): a step that damps at any rate, of second order.
    step = f"{bent}s"
    sheet.moves.append(f"{step} = h*{sheet.carried(rate)}")
    grown = f"{bent} + h*({radius}*wh{wheel} - wh{vehicle})*(1.0 + 0.5*{step})"
    sheet.moves.append(f"{bent}n = ({grown})/(1.0 + {step}*(1.0 + 0.5*{step}))")


def _renewal(sheet: Sheet, name: str, of: tuple[str, str, str, str]) -> str:
    """Write the rate at which bristles give way by slip (with less friction in fast slip) and by rolling."""
    slip, friction, stiffness, speed = of
    share = sheet.constant(f"{name}.slide_share")
    per = sheet.constant(f"1/{name}.slide_speed_m_s", lambda values: 1.0 / values[f"{name}.slide_speed_m_s"])
    rolling = sheet.constant(f"{name}.rolling_per_m")
    fast = sheet.line(f"1.0 + ({slip}*{per})*({slip}*{per})")
    sliding = f"{stiffness}*mag({slip})*{fast}/({friction}*(1.0 + {share}*({fast} - 1.0)))"
    return sheet.line(f"{sliding} + {rolling}*mag({speed})")
