"""The templates that print pages: everything that is not finished HTML is made safe."""

from __future__ import annotations

from dataclasses import fields
from functools import cache
from typing import Any, ClassVar, cast

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from specgen.publish.typesetting.equations import equation_html, meaning_html
from specgen.publish.typesetting.markup import one_block, safe


def _safe_unless_markup(value: Any) -> Any:
    """Jinja's last step before printing: everything that is not finished HTML is made safe."""
    if isinstance(value, Markup):
        return value
    if hasattr(value, "__html__"):
        return Markup(value)
    return safe(str(value))


@cache
def environment() -> Environment:
    """Make the templates' environment: autoescape on, undefined names are errors."""
    made = Environment(
        loader=PackageLoader("specgen.publish", ""),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_safe_unless_markup,
    )
    made.filters |= {"equation": equation_html, "meaning": meaning_html}
    return made


class Context:
    """What one template is given: a frozen dataclass of its own, whose docstring tells each field.

    A test holds that a template uses each of its context's fields and nothing beside them.
    """

    __slots__ = ()
    template: ClassVar[str]


def field_names(context: type[Context]) -> tuple[str, ...]:
    """The names that a context gives its template."""
    return tuple(item.name for item in fields(cast(Any, context)))


def rendered(context: Context) -> Markup:
    """Print a context by its template as a block of HTML."""
    names = {name: getattr(context, name) for name in field_names(type(context))}
    return one_block(environment().get_template(context.template).render(names))
