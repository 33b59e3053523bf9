"""Python functions of single values turned into JavaScript, so that the physics is said once.

The functions of `physics` and of the model work element by element: what they do to a curve they
do to each of its points, and that is what comes out here. What is understood is little, and all
else is refused when the site is built (`Untranslatable` names the file and line): functions and
plain classes, arithmetic, comparisons, `if`, loops over `range`, numbers and words of a module,
element-wise functions of numpy, the domain's refusals, and calls of each other.
"""

from __future__ import annotations

import ast
import dataclasses
import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from specgen.publish.estimate.elements import REFUSALS, Untranslatable
from specgen.publish.estimate.expressions import Values, bare

#: How names of JavaScript are made: module, dollar, name.
_PARTS = "{}${}"


def script_of(written: Iterable[Any], known: Mapping[Any, str]) -> str:
    """Write functions and classes as JavaScript, in their order.

    `known` are functions that are written by hand on the other side, by their names there.
    """
    objects = list(written)
    names = {item: name_of(item) for item in objects}
    if len(set(names.values())) < len(names):
        raise Untranslatable("two of the functions have one name")
    return "\n".join(_Written(item, {**names, **known}).text() for item in objects) + "\n"


def name_of(item: Any) -> str:
    """The name of a function or class in JavaScript."""
    module = item.__module__.rpartition(".")[2].strip("_")
    return _PARTS.format(module, item.__name__.strip("_"))


class _Written(Values):
    """One function or class on its way: its heads and statements."""

    def text(self) -> str:
        """The JavaScript of it."""
        if isinstance(self._tree, ast.ClassDef):
            return self._class(self._tree)
        if isinstance(self._tree, ast.FunctionDef):
            return f"function {self._names[self._item]}{self._function(self._tree)}"
        raise self._no(self._tree)

    # -------------------------------------------------------------- classes and functions

    def _class(self, tree: ast.ClassDef) -> str:
        above = [self._names[base] for base in self._item.__bases__ if base is not object]
        head = f"class {self._names[self._item]}" + (f" extends {above[0]}" if above else "")
        bodies = [self._constructor(tree)] if dataclasses.is_dataclass(self._item) else []
        for node in tree.body:
            if isinstance(node, ast.FunctionDef) and node.name != "__post_init__":
                getter = any(ast.unparse(it) == "property" for it in node.decorator_list)
                name = "constructor" if node.name == "__init__" else node.name
                bodies.append(("get " if getter else "") + name + self._function(node))
        return "{} {{\n{}\n}}".format(head, "\n".join(bodies))

    def _constructor(self, tree: ast.ClassDef) -> str:
        fields = dataclasses.fields(self._item)
        heads = []
        for field in fields:
            usual = field.default
            has = usual is not dataclasses.MISSING
            heads.append(f"{field.name} = {self._literal(usual, tree)}" if has else field.name)
        sets = "".join(f"this.{field.name} = {field.name};" for field in fields)
        after = [it for it in tree.body if isinstance(it, ast.FunctionDef)]
        checks = "".join(self._body(node) for node in after if node.name == "__post_init__")
        return f"constructor({', '.join(heads)}) {{ {sets}{checks} }}"

    def _function(self, node: ast.FunctionDef) -> str:
        arguments = node.args
        plain = [it.arg for it in arguments.args if it.arg != "self"]
        defaults = [None] * (len(plain) - len(arguments.defaults)) + list(arguments.defaults)
        more = [arguments.vararg.arg] if arguments.vararg else []
        if arguments.kwonlyargs or arguments.kwarg:
            raise self._no(node)
        self._local = _short([*plain, *more, *sorted(_assigned(node) - set(plain))])
        heads = [
            self._local[name] if usual is None else f"{self._local[name]} = {self._value(usual)}"
            for name, usual in zip(plain, defaults, strict=True)
        ]
        heads += [f"...{self._local[name]}" for name in more]
        return f"({', '.join(heads)}) {{ {self._body(node, set(plain))} }}"

    def _body(self, node: ast.FunctionDef, taken: set[str] | None = None) -> str:
        own = [self._local[name] for name in sorted(_assigned(node) - (taken or set()))]
        own += ["these"] if any(_takes_apart(it) for it in ast.walk(node)) else []
        declared = f"let {', '.join(own)};" if own else ""
        return declared + "".join(self._statement(it) for it in node.body)

    # -------------------------------------------------------------- statements

    def _statement(self, node: ast.stmt) -> str:
        match node:
            case ast.Expr(ast.Constant()):
                return ""
            case ast.Expr(ast.Call() as call):
                return self._called_alone(call)
            case ast.Assign([ast.Tuple(parts)], value):
                return self._taken_apart(parts, value)
            case ast.Assign([target], value):
                return f"{self._target(target)} = {bare(self._value(value))};"
            case ast.AnnAssign(target, _, value) if value is not None:
                return f"{self._target(target)} = {bare(self._value(value))};"
            case ast.AugAssign(target, operator, value):
                left, right = self._target(target), self._value(value)
                return f"{left} = {self._operated(operator, left, right, node)};"
            case ast.Return(value):
                return f"return {bare(self._value(value)) if value is not None else 'null'};"
            case ast.If(test, body, other):
                inner = "".join(map(self._statement, body))
                rest = "".join(map(self._statement, other))
                return f"if ({bare(self._value(test))}) {{ {inner} }}" + (
                    f" else {{ {rest} }}" if rest else ""
                )
            case ast.For(ast.Name(name), ast.Call(ast.Name("range"), [count], []), body, []):
                inner = "".join(map(self._statement, body))
                short = self._local[name]
                return f"for ({short} = 0; {short} < {self._value(count)}; {short}++) {{ {inner} }}"
            case ast.Raise(ast.Call(ast.Name("Unphysical"), [words], []), None):
                return f"throw new Unphysical({self._value(words)});"
            case ast.Raise(ast.Name("NotImplementedError"), None):
                return 'throw new Error("not here");'
        raise self._no(node)

    def _taken_apart(self, targets: list[ast.expr], value: ast.expr) -> str:
        """Several values at once; by their places, which is quicker than taking a list apart."""
        made = self._value(value)
        sets = "".join(
            f"{self._target(target)} = these[{at}];" for at, target in enumerate(targets)
        )
        return f"these = {made};{sets}"

    def _called_alone(self, call: ast.Call) -> str:
        """A refusal of the domain, for each of the values it names; or the class above."""
        if ast.unparse(call.func) == "super().__init__":
            return f"super({', '.join(map(self._value, call.args))});"
        target = self._global(call.func)
        name = REFUSALS.get(target)
        if name is None and target in self._names:
            return f"{self._value(call)};"
        if name is None:
            raise self._no(call)
        more = [self._value(it) for it in call.args]
        told = []
        for it in call.keywords:
            words = json.dumps((it.arg or "").replace("_", " "))
            told.append(f"{name}({', '.join([words, bare(self._value(it.value)), *more])});")
        return "".join(told)

    def _target(self, node: ast.expr) -> str:
        match node:
            case ast.Name(name):
                return self._local[name]
            case ast.Attribute(ast.Name("self"), name):
                return f"this.{name}"
            case ast.Subscript(ast.Name(owner), ast.Constant(str(key))):
                return f"{self._local[owner]}.{key}"
        raise self._no(node)


def _takes_apart(node: ast.AST) -> bool:
    return isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Tuple)


def _assigned(node: ast.FunctionDef) -> set[str]:
    """Names that a function gives a value to."""
    return {
        it.id
        for inner in ast.walk(node)
        if not isinstance(inner, ast.DictComp)
        for it in [inner]
        if isinstance(it, ast.Name) and isinstance(it.ctx, ast.Store)
    }


def _short(names: Sequence[str]) -> dict[str, str]:
    """Names of one letter for what a function alone knows: they weigh, and nobody reads them."""
    letters = "abcdefghijklmnopqrstuvwxyz"
    return {
        name: letters[at % 26] + (str(at // 26) if at >= 26 else "")
        for at, name in enumerate(dict.fromkeys(names))
    }
