"""The JSON Schema of each kind of knowledge file (draft 2020-12)."""

from __future__ import annotations

from typing import Any

from beachmark.basis.units import UNITS
from beachmark.knowledge.events import COURSES, NEEDS, OBSTACLES, SURFACES, USUAL

Schema = dict[str, Any]
LEVELS = ("usual", "possible", "telling", "hallmark")
WORDS = ("expected", "fits", "unexpected", "against")
PLACES = (
    "case", "fleet", "train", "joint", "trunnion", "cap", "yoke", "shaft", "weld", "slip", "support",
    "fasteners", "gearbox", "engine", "clutch", "axle", "wheels", "suspension", "any",
)  # fmt: skip
ORIGINS = (
    "part", "making", "fitting", "maintenance", "application", "operation", "environment", "neighbour",
    "open",
)  # fmt: skip

_TEXT: Schema = {"type": "string", "minLength": 1}
_TEXTS: Schema = {"type": "array", "items": _TEXT}
_ID: Schema = {
    "type": "string",
    "pattern": r"^[a-z][a-z0-9_]*(\.[a-z0-9_]+)?$",
    "description": "a lower-case id",
}
_NUMBER: Schema = {"type": "number"}


def _object(required: str, **properties: Schema) -> Schema:
    return {
        "type": "object",
        "additionalProperties": False,
        "required": required.split(),
        "properties": properties,
    }


def _map(values: Schema) -> Schema:
    return {"type": "object", "additionalProperties": values}


def _file(key: str, content: Schema, **more: Schema) -> Schema:
    return _object(f"version {key}", version={"const": 1}, **{key: content}, **more)


def _list(item: Schema) -> Schema:
    return {"type": "array", "items": item, "minItems": 1}


_ANSWERS = _map(_object("text", text=_TEXT, seen={"enum": list(LEVELS)}, parted={"type": "boolean"}))
_SAID_ANSWERS = _map(
    _object(
        "text speaks says",
        text=_TEXT,
        seen={"enum": list(LEVELS)},
        speaks={"enum": ["for", "against", "neither"]},
        says=_TEXT,
    )
)
_EXPECTS = _map(_object("", **dict.fromkeys(WORDS, _TEXTS)))
_PLACE: Schema = {"enum": list(PLACES)}
_FIELD = _object("name dimension", name=_ID, dimension={"enum": sorted(UNITS)})
_MEASURED = {"enum": ["measured", "plate", "stated", "table", "assumed"]}

OBSERVATIONS = _file(
    "observations",
    _list(
        _object(
            "id place type group question answers how_to_look effort minutes source",
            id=_ID,
            place=_PLACE,
            type={"enum": ["sight", "account", "measurement"]},
            group=_ID,
            several={"type": "boolean"},
            question=_TEXT,
            answers=_ANSWERS,
            fields={"type": "array", "items": _FIELD},
            how_to_look=_TEXT,
            picture=_TEXT,
            effort={"enum": ["phone", "hand", "tools", "strip", "lab"]},
            minutes={"type": "number", "exclusiveMinimum": 0},
            cautions=_TEXTS,
            alters_evidence={"type": "boolean"},
            asked_when=_object("see answers", see=_ID, answers=_TEXTS),
            gate=_object(
                "order because",
                order={"type": "integer"},
                because=_TEXT,
                after_break={"type": "boolean"},
                running=_TEXT,
            ),
            source=_TEXT,
        )
    ),
    component=_ID,
)


def _derived(answers: Schema) -> Schema:
    return _object(
        "id place group title answers source",
        id=_ID,
        place=_PLACE,
        group=_ID,
        title=_TEXT,
        answers=answers,
        source=_TEXT,
    )


SIGNS = _file("signs", _list(_derived(_ANSWERS)))
FINDINGS = _file("findings", _list(_derived(_SAID_ANSWERS)))
CAUSES = _file(
    "causes",
    _list(
        _object(
            "id title family component place how_common mechanism first_failure expects remedy source",
            id=_ID,
            title=_TEXT,
            family=_ID,
            component=_ID,
            place=_PLACE,
            how_common={"enum": ["common", "occasional", "rare"]},
            mechanism=_TEXT,
            first_failure=_TEXT,
            expects=_EXPECTS,
            elsewhere=_object(
                "",
                **{r: {"type": "number", "minimum": 0, "maximum": 1} for r in ("same_joint", "upstream", "downstream")},
            ),
            consequences={
                "type": "array",
                "items": _object(
                    "see answers where text",
                    see=_ID,
                    answers=_TEXTS,
                    where={"enum": ["here", "same_joint", "upstream", "downstream", "train", "any"]},
                    text=_TEXT,
                ),
            },
            explains=_TEXTS,
            look_alikes={"type": "array", "items": _object("cause because", cause=_ID, because=_TEXT)},
            checks=_TEXTS,
            explains_nothing={
                "type": "array",
                "items": _object("see answers groups because", see=_ID, answers=_TEXTS, groups=_TEXTS, because=_TEXT),
            },
            before_remedy={"type": "array", "items": _object("see answers text", see=_ID, answers=_TEXTS, text=_TEXT)},
            remedy=_TEXT,
            caution=_TEXT,
            source=_TEXT,
        )
    ),
)
ROOT_CAUSES = _file(
    "root_causes",
    _list(
        _object(
            "id title origin of source",
            id=_ID,
            title=_TEXT,
            origin={"enum": list(ORIGINS)},
            of=_map({"enum": ["main", "possible", "rare"]}),
            expects=_EXPECTS,
            settle=_TEXTS,
            act=_TEXT,
            source=_TEXT,
        )
    ),
)
GROUPS = _file("groups", _map(_TEXT))
CAUTIONS = _file(
    "cautions",
    _map(_object("word text", word={"enum": ["danger", "warning", "caution", "notice"]}, text=_TEXT)),
)
_QUANTITY = {"type": ["string", "number"]}
LIMITS = _file(
    "limits",
    _list(
        _object(
            "id dimension value words source",
            id=_ID,
            dimension={"enum": sorted(UNITS)},
            value=_QUANTITY,
            low=_QUANTITY,
            high=_QUANTITY,
            words=_TEXT,
            source=_TEXT,
        )
    ),
)
TYPICAL = _file(
    "typical",
    _list(
        _object(
            "id dimension value low high source",
            id=_ID,
            dimension={"enum": sorted(UNITS)},
            value=_QUANTITY,
            low=_QUANTITY,
            high=_QUANTITY,
            source=_TEXT,
        )
    ),
)
_NUMBERS = _map(_NUMBER)
_SHARE = {"type": "number", "minimum": 0, "maximum": 1}
SCALES = _object(
    "version expected_share factors backgrounds mistakes told_mistake trust relations "
    "priors links not_in_list open_below strengths efforts source",
    version={"const": 1},
    expected_share=_SHARE,
    factors=_object("fits unexpected against", **dict.fromkeys(WORDS[1:], _NUMBER)),
    backgrounds=_object("usual possible telling hallmark", **dict.fromkeys(LEVELS, _NUMBER)),
    mistakes=_object("certain fairly unsure", certain=_SHARE, fairly=_SHARE, unsure=_SHARE),
    told_mistake=_SHARE,
    trust=_SHARE,
    relations=_map(_SHARE),
    priors=_object("common occasional rare", common=_NUMBER, occasional=_NUMBER, rare=_NUMBER),
    links=_object("main possible rare", main=_NUMBER, possible=_NUMBER, rare=_NUMBER),
    not_in_list=_SHARE,
    open_below=_SHARE,
    strengths=_list(
        _object(
            "word least_share least_ratio meaning",
            word=_TEXT,
            least_share=_SHARE,
            least_ratio=_NUMBER,
            meaning=_TEXT,
            needs_parts={"type": "boolean"},
            needs_gates={"type": "boolean"},
        )
    ),
    efforts=_NUMBERS,
    source=_TEXT,
)
ALIASES = _object(
    "version",
    version={"const": 1},
    observations=_map(_TEXT),
    answers=_map(_map(_TEXT)),
    causes=_map(_TEXT),
    root_causes=_map(_TEXT),
)


_EVENT_VALUE = _object("value", value=_QUANTITY, low=_QUANTITY, high=_QUANTITY, source=_TEXT)
_STEP = _object("at takes to", **dict.fromkeys(("at", "takes", "to"), _EVENT_VALUE))
_COURSE = _object("first", first=_EVENT_VALUE, steps={"type": "array", "items": _STEP, "maxItems": 2})
EVENTS = _file(
    "events",
    _list(
        _object(
            "id title story needs duration gear grade surfaces courses leaves source",
            id=_ID,
            title=_TEXT,
            story=_TEXT,
            needs={"type": "array", "items": {"enum": list(NEEDS)}},
            duration=_QUANTITY,
            gear={"anyOf": [{"const": "reverse"}, _EVENT_VALUE]},
            **dict.fromkeys(("repeat", "speed", "input_share", "engine_share", "grade"), _EVENT_VALUE),
            surfaces=_object("", **dict.fromkeys(SURFACES, _SHARE)),
            courses=_object("throttle", **dict.fromkeys(COURSES, _COURSE)),
            obstacle=_object(
                "kind force place length",
                kind={"enum": list(OBSTACLES)},
                **dict.fromkeys(("force", "place", "length"), _EVENT_VALUE),
            ),
            leaves=_EXPECTS,
            source=_TEXT,
        )
    ),
)
TRAINS = _file(
    "classes",
    _list(
        _object(
            "id title values",
            id=_ID,
            title=_TEXT,
            values=_list(
                _object(
                    "id dimension value low high source",
                    id={"enum": sorted(USUAL)},
                    dimension={"enum": sorted(UNITS)},
                    value=_QUANTITY,
                    low=_QUANTITY,
                    high=_QUANTITY,
                    source=_TEXT,
                )
            ),
        )
    ),
)


def schema_for(name: str) -> Schema | None:
    """The schema of a knowledge file by its path inside the data folder, or None for an unknown file."""
    folder, _, _ = name.rpartition("/")
    by_folder = {"vocabulary": OBSERVATIONS, "causes": CAUSES}
    by_name = {
        "signs.yaml": SIGNS,
        "findings.yaml": FINDINGS,
        "root_causes.yaml": ROOT_CAUSES,
        "groups.yaml": GROUPS,
        "cautions.yaml": CAUTIONS,
        "limits.yaml": LIMITS,
        "typical.yaml": TYPICAL,
        "scales.yaml": SCALES,
        "aliases.yaml": ALIASES,
        "events.yaml": EVENTS,
        "trains.yaml": TRAINS,
    }
    return by_folder.get(folder) or by_name.get(name)
