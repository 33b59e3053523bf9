"""The pages that say the same of every archive, and rest on the program alone."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from specgen.publish import addresses
from specgen.publish.reference.columns import columns_page
from specgen.publish.reference.fields import fields_page
from specgen.publish.reference.glossary import glossary_page
from specgen.publish.reference.pages import cautions_page, findings_page, method_page, units_page
from specgen.publish.reference.validation import validation_page
from specgen.vocabulary import System

#: How each is written: with the units shown first, for pages served as folders or as files.
SAME_EVERYWHERE: Mapping[str, Callable[[System, bool], str]] = {
    addresses.METHOD: method_page,
    addresses.VALIDATION: validation_page,
    addresses.CAUTIONS: cautions_page,
    addresses.GLOSSARY: glossary_page,
    addresses.FIELDS: fields_page,
    addresses.COLUMNS: columns_page,
    addresses.UNITS: units_page,
    addresses.FINDINGS: findings_page,
}
