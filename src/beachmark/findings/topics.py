"""The questions that a specialist argues, in the order in which they are argued; every sum answers one of them."""

from __future__ import annotations

from enum import StrEnum


class Topic(StrEnum):
    """Which question a sum belongs to; the value is the question."""

    TORQUE = "How much torque could reach it?"
    ONE_PULL = "Could one pull have broken it?"
    REPLAY = "Could the event itself have broken it?"
    REPEATED = "Would it tire under its daily work?"
    PROOF = "What do the parts themselves prove?"
    ANGLES = "Do the angles shake it?"
    SPEED = "Does it bow, or shake out of balance, at speed?"
    TWIST = "Does the train swing in twist?"
    BEARINGS = "Do needles and centre bearing live with it?"
    FLEET = "Is it chance, over the fleet?"
    REFUSED = "Outside the range of the methods"
