"""Values of a Python function as JavaScript; see `translating`."""

from __future__ import annotations

import ast
import inspect
import json
import textwrap
from collections.abc import Callable, Mapping, Sequence
from types import ModuleType
from typing import Any

from specgen.publish.estimate.elements import (
    BINARY,
    COMPARED,
    SAME,
    TEMPLATES,
    UNARY,
    Untranslatable,
)


class Values:
    """One function or class on its way: what its expressions are in JavaScript."""

    def __init__(self, item: Any, names: Mapping[Any, str]) -> None:
        self._item, self._names = item, names
        self._globals = vars(inspect.getmodule(item))
        self._methods = {
            name
            for one in names
            if inspect.isclass(one)
            for name, value in vars(one).items()
            if inspect.isfunction(value)
        }
        (self._tree,) = ast.parse(textwrap.dedent(inspect.getsource(item))).body
        self._local: dict[str, str] = {}
        self._fixed: dict[str, Any] = {}

    def _no(self, node: ast.AST) -> Untranslatable:
        line = inspect.getsourcelines(self._item)[1] + getattr(node, "lineno", 1) - 1
        return Untranslatable(
            f"{self._item.__module__}:{line}: {type(node).__name__} has no JavaScript here: "
            f"{ast.unparse(node)[:80]}"
        )

    def _value(self, node: ast.expr) -> str:
        match node:
            case ast.Constant(value):
                return self._literal(value, node)
            case ast.Name(name) if name in self._fixed:
                return self._literal(self._fixed[name], node)
            case ast.Name("self"):
                return "this"
            case ast.Name(name) if name in self._local:
                return self._local[name]
            case ast.Name() | ast.Attribute():
                return self._named(node)
            case ast.BinOp(left, operator, right):
                return self._operated(operator, self._value(left), self._value(right), node)
            case ast.UnaryOp(operator, value) if type(operator) in UNARY:
                return f"({UNARY[type(operator)]}{self._value(value)})"
            case ast.BoolOp(operator, values):
                sign = " && " if isinstance(operator, ast.And) else " || "
                return f"({sign.join(map(self._value, values))})"
            case ast.IfExp(test, yes, no):
                return f"({self._value(test)} ? {self._value(yes)} : {self._value(no)})"
            case ast.Compare():
                return self._compared(node)
            case ast.Call():
                return self._called(node)
            case ast.Tuple(parts) | ast.List(parts):
                return f"[{self._listed(parts)}]"
            case ast.Starred(value):
                return f"...{self._value(value)}"
            case ast.Subscript(owner, ast.Constant(str(key))):
                return f"{self._value(owner)}.{key}"
            case ast.Subscript(owner, key):
                return f"{self._value(owner)}[{self._value(key)}]"
            case ast.JoinedStr(parts):
                return f"`{''.join(map(self._part, parts))}`"
            case ast.DictComp(
                ast.Name(key), value, [ast.comprehension(ast.Name(name), over, [], 0)]
            ):
                return self._spread_out(node, key, value, name, over)
        raise self._no(node)

    def _listed(self, nodes: Sequence[ast.expr]) -> str:
        return ", ".join(bare(self._value(it)) for it in nodes)

    def _spread_out(
        self, node: ast.expr, key: str, value: ast.expr, name: str, over: ast.expr
    ) -> str:
        """A table over words of the module, one after the other."""
        words = self._global(over)
        if key != name or not isinstance(words, tuple):
            raise self._no(node)
        cells = []
        for word in words:
            self._fixed = {name: word}
            cells.append(f"{word}: {self._value(value)}")
        self._fixed = {}
        return f"{{ {', '.join(cells)} }}"

    def _part(self, node: ast.expr) -> str:
        match node:
            case ast.Constant(str(text)):
                return text.replace("\\", "\\\\").replace("`", "\\`").replace("$", "\\$")
            case ast.FormattedValue(value, -1, None):
                return f"${{{self._value(value)}}}"
            case ast.FormattedValue(value, -1, ast.JoinedStr([ast.Constant("g")])):
                return f"${{toBrief({self._value(value)})}}"
        raise self._no(node)

    def _operated(self, operator: ast.operator, left: str, right: str, node: ast.AST) -> str:
        sign = BINARY.get(type(operator))
        if sign is None:
            raise self._no(node)
        if sign == "**" and right == "2":
            return f"toSquare({left})"
        return f"toPower({left}, {right})" if sign == "**" else f"({left} {sign} {right})"

    def _compared(self, node: ast.Compare) -> str:
        told, left = [], node.left
        for operator, right in zip(node.ops, node.comparators, strict=True):
            if isinstance(operator, ast.In | ast.NotIn):
                sense = "" if isinstance(operator, ast.In) else "!"
                told.append(f"{sense}({self._value(left)} in {self._value(right)})")
            elif type(operator) in COMPARED:
                sign = COMPARED[type(operator)]
                told.append(f"{self._value(left)} {sign} {self._value(right)}")
            else:
                raise self._no(node)
            left = right
        return f"({' && '.join(told)})"

    def _called(self, node: ast.Call) -> str:
        match node:
            case ast.Call(ast.Name("dict"), [value], []):
                return f"{{ ...{self._value(value)} }}"
            case ast.Call(ast.Name("getattr"), [owner, ast.Name(name)], []) if name in self._fixed:
                return f"{self._value(owner)}.{self._fixed[name]}"
            case ast.Call(ast.Attribute(owner, "get"), [ast.Constant(str(key)), *usual], []):
                rest = self._value(usual[0]) if usual else "null"
                return f"({self._value(owner)}.{key} ?? {rest})"
            case ast.Call(ast.Attribute(owner, name), arguments, []) if name in self._methods:
                if self._is_local(owner):
                    return f"{self._value(owner)}.{name}({self._listed(arguments)})"
            case ast.Call(ast.Name(name), arguments, []) if name in self._local:
                return f"{self._local[name]}({self._listed(arguments)})"
            case ast.Call(ast.Subscript() as chosen, arguments, []):
                return f"{self._value(chosen)}({self._listed(arguments)})"
            case ast.Call(ast.Name("replace"), [value], changed):
                pairs = ", ".join(f"{it.arg}: {self._value(it.value)}" for it in changed)
                return f"asReplaced({self._value(value)}, {{ {pairs} }})"
        return self._called_global(node)

    def _is_local(self, node: ast.expr) -> bool:
        """Whether a value is no module: what calls of methods are made of."""
        while isinstance(node, ast.Attribute | ast.Call | ast.Subscript):
            node = node.value if not isinstance(node, ast.Call) else node.func
        return isinstance(node, ast.Name) and (node.id == "self" or node.id in self._local)

    def _called_global(self, node: ast.Call) -> str:
        target = self._global(node.func)
        if target in SAME:
            return self._value(node.args[0])
        if target in TEMPLATES:
            if any(it.arg != "dtype" for it in node.keywords):
                raise self._no(node)
            return TEMPLATES[target].format(*map(self._value, node.args))
        if target not in self._names:
            raise self._no(node)
        made = "new " if inspect.isclass(target) else ""
        return f"{made}{self._names[target]}({', '.join(self._bound(target, node))})"

    def _bound(self, target: Callable[..., Any], node: ast.Call) -> list[str]:
        """Arguments in the order of the function's parameters."""
        given = [bare(self._value(it)) for it in node.args]
        if not node.keywords:
            return given
        signature = inspect.signature(target)
        bound = signature.bind(
            *given, **{str(it.arg): bare(self._value(it.value)) for it in node.keywords}
        )
        found: list[str] = []
        waiting: list[str] = []
        for name, parameter in signature.parameters.items():
            if name in bound.arguments:
                found += [*waiting, bound.arguments[name]]
                waiting = []
            else:
                waiting.append(self._literal(parameter.default, node))
        return found

    def _named(self, node: ast.expr) -> str:
        """A name of the module, or a field of a value; a method as a value stays bound."""
        if isinstance(node, ast.Attribute) and self._is_local(node.value):
            owner = self._value(node.value)
            if node.attr in self._methods and not self._is_property(node.attr):
                return f"(($1, $2, $3, $4) => {owner}.{node.attr}($1, $2, $3, $4))"
            return f"{owner}.{node.attr}"
        value = self._global(node)
        if self._hashable(value) and value in self._names:
            return self._names[value]
        return self._literal(value, node)

    def _is_property(self, name: str) -> bool:
        return any(
            isinstance(vars(one).get(name), property) for one in self._names if inspect.isclass(one)
        )

    @staticmethod
    def _hashable(value: Any) -> bool:
        return callable(value)

    def _global(self, node: ast.expr) -> Any:
        """What a name of the module stands for."""
        match node:
            case ast.Name(name) if name in self._globals and name not in self._local:
                return self._globals[name]
            case ast.Attribute(owner, name):
                value = self._global(owner)
                if isinstance(value, ModuleType):
                    return getattr(value, name)
            case ast.Name("float"):
                return float
        raise self._no(node)

    def _literal(self, value: Any, node: ast.AST) -> str:
        if value is None:
            return "null"
        if isinstance(value, bool | str):
            return json.dumps(value, ensure_ascii=False)
        if isinstance(value, int | float):
            return "NaN" if value != value else json.dumps(value)
        if isinstance(value, tuple):
            return f"[{', '.join(self._literal(it, node) for it in value)}]"
        if isinstance(value, dict) and all(
            self._hashable(it) and it in self._names for it in value.values()
        ):
            cells = (f"{json.dumps(key)}: {self._names[it]}" for key, it in value.items())
            return f"{{ {', '.join(cells)} }}"
        raise self._no(node)


def bare(text: str) -> str:
    """A value without brackets around all of it, where nothing stands beside it."""
    if not text.startswith("("):
        return text
    depth = 0
    for place, letter in enumerate(text):
        depth += {"(": 1, ")": -1}.get(letter, 0)
        if depth == 0:
            return text[1:-1] if place == len(text) - 1 else text
    return text
