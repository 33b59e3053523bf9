"""Dates as a page prints them, the same in every locale."""

from __future__ import annotations

import datetime

from specgen.archive.model.session import UNDATED

_MONTHS = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
]


def day_words(day: datetime.date) -> str:
    """Print a date such as "14 May 2025"; one that was not recorded says so."""
    if day == UNDATED:
        return "on a day that is not recorded"
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"
