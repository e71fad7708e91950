"""Which keys the sources say, read from their syntax: `line("…")`, `phrase("…")`, `because("…")`."""

import ast
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

PREFIX = {"line": "talk.", "phrase": "", "because": "reason."}


@dataclass(frozen=True)
class Said:
    """A key, or a pattern with `{}` for what is filled in; the names of the values, None where they are not plain."""

    key: str
    values: frozenset[str] | None = None


def said(source: str) -> Iterator[Said]:
    """Every key a source says; of a key in a variable, what it is assigned; `?…` where that is not plain."""
    tree = ast.parse(source)
    for call in ast.walk(tree):
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id in PREFIX and call.args:
            names = [word.arg for word in call.keywords]
            values = None if None in names else frozenset(name for name in names if name is not None)
            for key in _keys(call.args[0], tree):
                yield Said(PREFIX[call.func.id] + key, values)


def _keys(argument: ast.expr, tree: ast.Module) -> Iterator[str]:
    match argument:
        case ast.Constant(value=str(text)):
            yield text
        case ast.IfExp(body=body, orelse=orelse):
            yield from _keys(body, tree)
            yield from _keys(orelse, tree)
        case ast.JoinedStr(values=parts):
            yield "".join(str(part.value) if isinstance(part, ast.Constant) else "{}" for part in parts)
        case ast.Name(id=name):
            given = [node.value for node in ast.walk(tree) if isinstance(node, ast.Assign) and _is(node, name)]
            for value in given:
                yield from _keys(value, tree)
            if not given:
                yield f"?{name}"
        case _:
            yield f"?{ast.unparse(argument)}"


def _is(node: ast.Assign, name: str) -> bool:
    return any(isinstance(target, ast.Name) and target.id == name for target in node.targets)


def spelled(one: Said, families: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """The keys of a pattern, by the table of families; a pattern that is not declared stands for itself."""
    if "{}" not in one.key:
        return (one.key,)
    return tuple(one.key.format(value) for value in families.get(one.key, ())) or (one.key,)
