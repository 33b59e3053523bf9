"""What single operations and functions are called in JavaScript; see `translating`."""

from __future__ import annotations

import ast
from typing import Any

import numpy as np

from specgen.physics import _domain


class Untranslatable(ValueError):  # noqa: N818 - a fault of ours, told when a site is built
    """A function of the model says something that has no JavaScript; the text names the line."""


UNARY: dict[type, str] = {ast.USub: "-", ast.UAdd: "+", ast.Not: "!", ast.Invert: "!"}
BINARY: dict[type, str] = {
    ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.Pow: "**",
    ast.BitAnd: "&&", ast.BitOr: "||",
}  # fmt: skip
COMPARED: dict[type, str] = {
    ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">=", ast.Eq: "===", ast.NotEq: "!==",
    ast.Is: "==", ast.IsNot: "!=",
}  # fmt: skip

#: The domain's refusals, by the names of those that `model.js` has.
REFUSALS: dict[Any, str] = {
    _domain.positive: "isPositive",
    _domain.not_negative: "isNotNegative",
    _domain.between: "isBetween",
    _domain.at_least_one: "isAtLeastOne",
    _domain.above: "isAbove",
    _domain.efficiency: "isEfficiency",
}

#: What leaves one value as it is.
SAME = (float, np.asarray, np.atleast_1d, np.any, np.all, _domain.plain)

#: Functions of numpy on one value.
TEMPLATES: dict[Any, str] = {
    np.where: "({0} ? {1} : {2})",
    np.maximum: "Math.max({0}, {1})",
    np.minimum: "Math.min({0}, {1})",
    np.clip: "Math.min(Math.max({0}, {1}), {2})",
    np.sqrt: "Math.sqrt({0})",
    np.exp: "Math.exp({0})",
    np.log: "Math.log({0})",
    np.log1p: "Math.log1p({0})",
    np.log2: "Math.log2({0})",
    np.abs: "Math.abs({0})",
    np.isnan: "Number.isNaN({0})",
    np.isfinite: "Number.isFinite({0})",
    np.nan_to_num: "({0} || 0)",
    np.full_like: "{1}",
    np.ones_like: "1",
    np.zeros_like: "0",
}
