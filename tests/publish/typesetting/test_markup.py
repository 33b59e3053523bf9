"""Text that somebody wrote stays text, in HTML and in every Markdown engine."""

from __future__ import annotations

import html

import markdown
import pytest
from hypothesis import given
from hypothesis import strategies as st

from specgen.publish.typesetting.blocks import Note
from specgen.publish.typesetting.markup import heading_text, one_block, safe
from specgen.publish.typesetting.rendering import rendered

#: Text that wakes HTML, Markdown, its usual extensions, snippets, macros, emoji or mathematics.
HOSTILE = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</title><script>alert(1)</script>",
    "*emphasis* _underlined_ `code` [link](javascript:alert(1)) ![picture](x)",
    "# heading",
    "1. list",
    "- list\n\n    code block",
    "{{ config }} {% raw %} {: .class }",
    '--8<-- "/etc/passwd"',
    ":smile: :material-home: $x^2$ ~~gone~~ ==marked== H~2~O ++Ctrl++",
    "https://elsewhere.test/ www.elsewhere.test",
    "<!-- specgen: newest -->",
    "&lt;b&gt; &amp; &#60;",
    "a | b | c\n--|--|--\n1 | 2 | 3",
]
_EXTENSIONS = ["attr_list", "md_in_html", "tables", "toc", "def_list", "footnotes", "smarty"]


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_reads_as_it_was_written(text: str) -> None:
    """A browser shows exactly the characters of the file, on one line."""
    assert html.unescape(safe(text)) == " ".join(text.split())
    assert not set("<>\"'*_`[]{}") & set(safe(text))


@given(st.text())
def test_any_text_becomes_harmless_html(text: str) -> None:
    """Whatever is written: no markup character is left, and nothing that HTML does not have."""
    shown = safe(text)
    assert not set("<>\"'*_`[]{}\n\0") & set(shown)
    html.unescape(shown).encode("utf-8")


@pytest.mark.parametrize("text", HOSTILE)
def test_markdown_finds_nothing_in_a_block(text: str) -> None:
    """Python-Markdown with its extensions hands a block on as it was."""
    block = one_block(f'<div class="sg">\n<p title="{safe(text)}">{safe(text)}</p>\n</div>')
    made = markdown.markdown(block, extensions=_EXTENSIONS)
    assert made.strip() == block


@pytest.mark.parametrize("text", HOSTILE)
def test_markdown_finds_nothing_in_a_heading(text: str) -> None:
    """A title of the archive is one heading whose text is the title."""
    made = markdown.markdown(f"# {heading_text(text)}", extensions=["attr_list", "toc"])
    assert made.startswith("<h1")
    assert made.count("<") == 2
    inner = made.partition(">")[2].removesuffix("</h1>")
    assert html.unescape(inner) == " ".join(text.split())


def test_templates_escape_what_they_print() -> None:
    """A name that a template prints is escaped without the template's asking."""
    assert "<b>" not in rendered(Note("<b>*loud*</b>"))
    assert "*" not in rendered(Note("<b>*loud*</b>"))


def test_a_block_has_no_blank_line_and_no_indent() -> None:
    """Engines of the CommonMark kind would end the block there."""
    assert one_block("<div>\n\n    <p>x</p>\n\n</div>\n") == "<div>\n<p>x</p>\n</div>"
