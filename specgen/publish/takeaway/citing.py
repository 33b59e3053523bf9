"""How to cite a sheet: one line of text, and BibTeX."""

from __future__ import annotations

import re

from specgen.analysis.sheet import Sheet

#: Letters that BibTeX takes for commands, and what to write instead.
_ESCAPES = {"\\": r"\textbackslash{}", "{": r"\{", "}": r"\}", "#": r"\#", "$": r"\$",
            "%": r"\%", "&": r"\&", "_": r"\_", "~": r"\textasciitilde{}",
            "^": r"\textasciicircum{}"}  # fmt: skip


def authors(sheet: Sheet) -> tuple[str, ...]:
    """Who is cited: the archive's authors, else the archive."""
    settings = sheet.archive.settings
    return tuple(it.value for it in settings.authors) or (settings.name.value,)


def year(sheet: Sheet) -> str:
    """The year of a build's newest session; "no date" where it was never tested."""
    days = [it.session.when for it in sheet.sessions if it.session.when]
    return str(max(days).year) if days else "no date"


def notes(sheet: Sheet) -> list[str]:
    """What a reader of a citation must know before anything else."""
    settings, withdrawn = sheet.archive.settings, sheet.build.withdrawn
    told = ["The data is invented"] if settings.invented else []
    if withdrawn is not None:
        told.append(f"Withdrawn on {withdrawn.on.value.isoformat()}: {withdrawn.because.value}")
    if settings.licence is not None:
        told.append(f"Licence of the data: {settings.licence.name.value}")
    return told


def citation(sheet: Sheet, address: str) -> str:
    """One paragraph of text with a final newline; `address` is the page's, or nothing."""
    parts = [
        f"{', '.join(authors(sheet))} ({year(sheet)})",
        f"{sheet.build.title.value}. Build sheet",
        *([sheet.archive.settings.name.value] if sheet.archive.settings.authors else []),
        *([address] if address else []),
        *notes(sheet),
    ]
    return ". ".join(part.rstrip(".") for part in parts) + ".\n"


def bibtex(sheet: Sheet, address: str) -> str:
    """An entry of BibTeX with a final newline; braces keep names as they are written."""
    days = year(sheet)
    fields = {
        "author": " and ".join(f"{{{_escaped(it)}}}" for it in authors(sheet)),
        "title": f"{{{_escaped(sheet.build.title.value)}}}",
        "year": days if days.isdigit() else "",
        "howpublished": "Build sheet",
        "organization": _escaped(sheet.archive.settings.name.value),
        "url": address,
        "note": _escaped(". ".join(notes(sheet))),
    }
    lines = [f"  {name} = {{{value}}}" for name, value in fields.items() if value]
    key = re.sub(r"[^a-z0-9-]", "", sheet.id)
    return f"@misc{{{key},\n" + ",\n".join(lines) + "\n}\n"


def _escaped(text: str) -> str:
    return "".join(_ESCAPES.get(letter, letter) for letter in " ".join(text.split()))
