"""The templates that print pages: everything that is not finished HTML is made safe."""

from __future__ import annotations

from functools import cache
from typing import Any

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


def rendered(template: str, **names: Any) -> Markup:
    """Print one template as a block of HTML."""
    return one_block(environment().get_template(template).render(**names))
