"""Which corners of a cross close and which open under torque.

The arms are named by the yoke that holds them: G1, G2 on the gearbox side, A1, A2 on the axle side, in
the order G1, A1, G2, A2 clockwise as seen from the gearbox looking rearward. A corner lies between two
neighbouring arms. The sense of the *torque* decides, not that of the rotation: it swaps on overrun and
in reverse. A fitting or a hole in an opening corner lies in tension, in a closing corner in compression.
"""

from enum import StrEnum

ARMS_CLOCKWISE = ("G1", "A1", "G2", "A2")


class Yoke(StrEnum):
    """The yoke that drives the joint at the moment in question."""

    GEARBOX = "gearbox"
    AXLE = "axle"


class Sense(StrEnum):
    """Sense of the torque that the driving yoke applies, seen from the gearbox looking rearward."""

    CLOCKWISE = "clockwise"
    ANTICLOCKWISE = "anticlockwise"


class CornerState(StrEnum):
    """What the torque does to a corner: press it together or pull it apart."""

    CLOSES = "closes"
    OPENS = "opens"


def closing_corners(*, driving_yoke: Yoke, torque_sense: Sense) -> frozenset[frozenset[str]]:
    """Name the two opposite corners that close; each corner is the set of its two arms.

    Formula: from an arm held by the driving yoke go, in the sense of the torque that this yoke applies,
    to the next arm, which the driven yoke holds: that corner closes.
    Units: none (names of arms).
    Range: any angle and speed of the joint; torque only, without thrust from the slip or clamping.
    Raises: ValueError if the yoke or the sense is not one of those listed.
    Source: statics of the cross, derived; proved with force vectors in tests/mechanics.

    >>> corners = closing_corners(driving_yoke=Yoke.GEARBOX, torque_sense=Sense.CLOCKWISE)
    >>> sorted("-".join(sorted(corner)) for corner in corners)
    ['A1-G1', 'A2-G2']
    """
    driving, sense = Yoke(driving_yoke), Sense(torque_sense)
    first = 0 if driving is Yoke.GEARBOX else 1
    step = 1 if sense is Sense.CLOCKWISE else -1
    return frozenset(frozenset((ARMS_CLOCKWISE[arm], ARMS_CLOCKWISE[(arm + step) % 4])) for arm in (first, first + 2))


def corner_state(*, arms: tuple[str, str], driving_yoke: Yoke, torque_sense: Sense) -> CornerState:
    """Tell whether the corner between two neighbouring arms closes or opens.

    Formula: as closing_corners; the other two corners open.
    Units: none (names of arms, in either order).
    Range: as closing_corners.
    Raises: ValueError if the two arms are not neighbours on the cross, or a name is unknown.
    Source: statics of the cross, derived; proved with force vectors in tests/mechanics.

    >>> str(corner_state(arms=("A1", "G1"), driving_yoke=Yoke.GEARBOX, torque_sense=Sense.CLOCKWISE))
    'closes'
    >>> str(corner_state(arms=("A1", "G1"), driving_yoke=Yoke.AXLE, torque_sense=Sense.CLOCKWISE))
    'opens'
    """
    if sorted(arm[:1] for arm in arms) != ["A", "G"] or not set(arms) <= set(ARMS_CLOCKWISE):
        raise ValueError(f"arms is {arms}; it must be one of G1, G2 and one of A1, A2.")
    closing = closing_corners(driving_yoke=driving_yoke, torque_sense=torque_sense)
    return CornerState.CLOSES if frozenset(arms) in closing else CornerState.OPENS
