"""Scenes as values that JSON can hold, and back: what a view is sent that runs in another process, or elsewhere."""

from collections.abc import Callable, Mapping
from typing import Any, TypeAlias

from guide.live.scene import Check, LineKind, ReadingScene, Ready, Scene, Script, ScriptLine, Showable
from guide.plan.json_values import plain_fields
from guide.plan.moment import Moment, Phase

Item: TypeAlias = Mapping[str, Any]


def data_of(scene: Showable) -> dict[str, Any]:
    """The fields of a scene by their names, and its `kind`."""
    return {"kind": scene.kind, **plain_fields(scene)}


def scene_from(data: Item) -> Showable:
    """The scene that `data_of` made `data` from."""
    fields = dict(data)
    return READERS[fields.pop("kind")](fields)


def _scene(fields: Item) -> Scene:
    moment = fields["moment"]
    return Scene(**{**fields, "moment": Moment(**{**moment, "phase": Phase(moment["phase"])})})


def _script(fields: Item) -> Script:
    lines = (ScriptLine(**{**line, "kind": LineKind(line["kind"])}) for line in fields["lines"])
    return Script(**{**fields, "lines": tuple(lines)})


def _ready(fields: Item) -> Ready:
    return Ready(**{**fields, "checks": tuple(Check(**check) for check in fields["checks"])})


def _reading(fields: Item) -> ReadingScene:
    return ReadingScene(**{**fields, "told": tuple(fields["told"])})


#: What makes each kind of scene of its fields.
READERS: dict[str, Callable[[Item], Showable]] = {
    Scene.kind: _scene,
    Script.kind: _script,
    Ready.kind: _ready,
    ReadingScene.kind: _reading,
}
