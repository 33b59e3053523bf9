"""How the table of builds is narrowed: which columns, by which kind of choice, in which units."""

from __future__ import annotations

import json
from dataclasses import dataclass

from specgen.publish.web.handover import shown_units


@dataclass(frozen=True, slots=True)
class Column:
    """A column of the table of builds.

    `kind` says how a reader narrows it: "choice" of what occurs, "range" of a quantity, "date", or
    nothing. `title` is the filter's own name where the heading does not do.
    """

    name: str
    heading: str
    kind: str = ""
    title: str = ""
    quantity: str = ""
    numeric: bool = False

    @property
    def units(self) -> str:
        """Label, factor, offset and decimals in either unit system, as the script reads them."""
        if not self.quantity:
            return ""
        return json.dumps(shown_units(self.quantity), ensure_ascii=False)


#: The columns of the table, in order.
COLUMNS = (
    Column("picture", ""),
    Column("build", "Build"),
    Column("size", "Size", "range", "Engine size", "swept_volume", numeric=True),
    Column("cylinders", "Engine", "choice", "Cylinders"),
    Column("induction", "Induction", "choice"),
    Column("fuel", "Fuel", "choice", "Fuel, in any setup"),
    Column("power", "Power", "range", "", "power", numeric=True),
    Column("torque", "Torque", quantity="torque", numeric=True),
    Column("boost", "Boost", "range", "", "boost", numeric=True),
    Column("specific", "Per litre", "", "Power per litre", "specific_power", numeric=True),
    Column("curve", ""),
    Column("place", "Measured at", "choice"),
    Column("date", "Tested", "date"),
)
