"""Equations on a page: Greek, subscripts and powers, and not a digit changed."""

from __future__ import annotations

import re

import pytest

from specgen.publish.reference.pages import formulas
from specgen.publish.typesetting.equations import equation_html, meaning_html

GREEK = {
    **{"β": "beta", "Δ": "d", "ε": "eps", "η": "eta", "λ": "lambda"},
    **{"µ": "mu", "φ": "phi", "π": "pi", "ρ": "rho", "θ": "theta"},
}


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("p_d = p", "<var>p</var><sub>d</sub> = <var>p</var>"),
        ("(T / 298.15 K)^0.6", "(<var>T</var> / 298.15 K)<sup>0.6</sup>"),
        ("x^(1/(n-1))", "<var>x</var><sup>1/(<var>n</var>−1)</sup>"),
        ("eta_v rho", "<var>η</var><sub>v</sub> <var>ρ</var>"),
        ("4.18e-5 T", "4.18·10<sup>−5</sup> <var>T</var>"),
        ("air-fuel ratio", "air-fuel ratio"),
        ("r cos(a)^2", "<var>r</var> cos(<var>a</var>)<sup>2</sup>"),
        ("sum(x_i)", "sum(<var>x</var><sub>i</sub>)"),
    ],
)
def test_equation_is_set_as_a_reader_expects(written: str, shown: str) -> None:
    """Symbols slanted, words upright, powers raised."""
    found = equation_html(written)
    assert re.sub(r"&#(\d+);", lambda hit: chr(int(hit.group(1))), found) == shown


def test_a_parameter_s_symbol_is_set_and_its_words_are_not() -> None:
    """Only what stands between the comma and the unit is a symbol."""
    shown = meaning_html("air temperature at a point, T_d [K], 173 to 473")
    assert "<var>T</var><sub>d</sub>" in shown
    assert shown.count("<var>") == 1


def _bare(text: str) -> str:
    """Digits and letters alone, Greek spelled out, powers and marks left off."""
    for letter, name in GREEK.items():
        text = text.replace(letter, name)
    return re.sub(r"[^0-9A-Za-z]", "", text)


@pytest.mark.parametrize("formula", formulas(), ids=lambda formula: formula.name)
def test_no_letter_or_digit_of_the_docstring_is_lost(formula: object) -> None:
    """What is set holds every letter and digit of the equation in order."""
    for line in formula.equation.splitlines():  # type: ignore[attr-defined]
        shown = re.sub(r"<[^>]*>", "", equation_html(line))
        shown = re.sub(r"&#(\d+);", lambda hit: chr(int(hit.group(1))), shown)
        shown = re.sub(r"·10(−?\d)", r"e\1", shown)
        assert _bare(shown) == _bare(line)
