"""A list before it is priced: what was given, read, and the cloth that its lines name."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from meshcore import DISTRIBUTION, __version__, plugins
from meshcore.alloys.records.beside import said_beside
from meshcore.alloys.records.registry import Registry, resolve
from meshcore.alloys.records.spotting import names_alloy
from meshcore.enquiry import Service
from meshcore.messages import MessageLog, writable
from meshcore.reading.tables.intake import EnquiryColumns, read_enquiries
from meshcore.supply.policy import SupplyPolicy
from meshcore.weave.cloth import ClothColumns
from meshcore.weave.geometry.path import PathModel, cloth_path
from meshcore.weave.specification.completing import Specification

if TYPE_CHECKING:
    import pandas as pd


def check_kind(name: str, given: object, kind: type, example: str) -> None:
    """Raise TypeError where what was given is of another kind."""
    if given is not None and not isinstance(given, kind):
        wrong = type(given).__name__
        raise TypeError(f"{name} is a {wrong}; a {kind.__name__} is due, such as {example}")


def with_writable_headings(table: pd.DataFrame) -> pd.DataFrame:
    """Return the table, its headings without lone surrogates, which cannot stand in a column."""
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    headings = [str(heading) if isinstance(heading, str) else "" for heading in table.columns]
    if all(writable(heading) == heading for heading in headings):
        return table
    clean = [writable(h) if isinstance(h, str) else h for h in table.columns]
    return table.set_axis(pd.Index(clean, tupleize_cols=False), axis=1)


def versions() -> dict[str, str]:
    """Versions of the library and of the distributions that its plugins come from."""
    records = plugins.installed().records
    return {DISTRIBUTION: __version__} | {r.distribution or r.name: r.version for r in records}


def services() -> list[Service]:
    """Work after weaving that the installed plugins offer."""
    return [s for _, s in plugins.installed().collect("meshcore_services", Service)]


def read_lines(
    enquiries: pd.DataFrame, registry: Registry, policy: SupplyPolicy, log: MessageLog
) -> EnquiryColumns:
    """Read an enquiry list with what is installed and what the mill supplies."""
    lengths = {"full roll": policy.full_length_m, "full": policy.full_length_m}
    if policy.half_lengths_m:
        lengths |= dict.fromkeys(("half roll", "half"), policy.half_lengths_m[0])
    return read_enquiries(
        enquiries,
        lambda text: resolve(registry, text),
        services(),
        lengths,
        log,
        lambda text: names_alloy(registry, text),
        lambda text, index: said_beside(registry, text, index),
    )


def cloth_of(
    read: EnquiryColumns,
    specification: Specification,
    registry: Registry,
    path_model: PathModel,
) -> ClothColumns:
    """Return the cloth of each line, with the path of its wire; plain where no weave is named."""
    weave = np.where(read.weave < 0, 0, read.weave) if (read.weave < 0).any() else read.weave
    wire, pitch = specification.wire_diameter_m, specification.pitch_m
    path = cloth_path(weave, wire, pitch, path_model=path_model)
    return ClothColumns(
        weave=weave,
        pitch_m=pitch,
        wire_diameter_m=wire,
        aperture_m=specification.aperture_m,
        open_area=specification.open_area,
        path_ratio=path.path_ratio,
        thickness_m=path.thickness_m,
        alloy=read.alloy,
        alloys=registry.alloys,
        width_m=read.width.values,
    )
