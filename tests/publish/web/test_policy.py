"""The Content-Security-Policy: it allows what pages carry, by hash, and nothing else."""

from __future__ import annotations

from specgen.publish.web.policy import Inline, hash_source, policy_tag, policy_text, with_policy

PAGE = """<!doctype html>
<html><head>
<meta charset="utf-8">
<script>first()</script>
<script type="application/json">{"a": 1}</script>
<script src="x.js"></script>
<style>p { color: red }</style>
</head><body><td style="text-align: right;">1</td></body></html>
"""


def test_hash_is_the_one_browsers_compute() -> None:
    """The example that the specification gives for its hash sources.

    Source: W3C Content Security Policy Level 3, section 8.4 example, `alert('Hello, world.');`
    (from memory).
    """
    assert hash_source("alert('Hello, world.');") == (
        "'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='"
    )


def test_line_ends_are_those_a_browser_sees() -> None:
    """A page with Windows line ends has the same hashes: browsers turn them before hashing."""
    assert hash_source("a\r\nb\rc") == hash_source("a\nb\nc")


def test_only_what_runs_is_hashed() -> None:
    """Inline scripts and styles are named; data and files are not."""
    inline = Inline()
    inline.add(PAGE)
    assert inline.scripts == {hash_source("first()")}
    assert inline.styles == {hash_source("p { color: red }")}
    assert inline.attributes == {hash_source("text-align: right;")}


def test_policy_starts_from_nothing() -> None:
    """Everything is forbidden that is not named; no wildcard and no unsafe source stands in it."""
    text = policy_text(Inline())
    assert text.startswith("default-src 'none'; script-src 'self';")
    assert "style-src-attr 'none'" in text
    assert "unsafe" not in text
    assert "*" not in text


def test_preview_allows_the_script_that_the_server_injects() -> None:
    """The preview's script changes with each build, so that no hash can name it."""
    assert "script-src 'self' 'unsafe-inline'" in policy_text(Inline(), live=True)


def test_policy_stands_before_the_first_script() -> None:
    """A policy governs only what comes after it."""
    page = with_policy(PAGE, policy_tag("default-src 'none'"))
    assert page.index("Content-Security-Policy") < page.index("<script")
    assert page.count("Content-Security-Policy") == 1
    bare = with_policy(
        "<html><head><title>x</title></head></html>", policy_tag("default-src 'none'")
    )
    assert "<head><meta http-equiv" in bare
