"""A piece of cloth to turn, cut and measure, by three.js from this very server, without network."""

from __future__ import annotations

import base64
from collections.abc import Callable
from functools import lru_cache, partial
from pathlib import Path

import numpy as np
import streamlit as st

from meshcore.weave.solids.cloth_solid import (
    COARSE,
    FINE,
    PITCHES,
    ClothSolid,
    Facets,
    cloth_solids,
)
from meshcore.weave.solids.gltf import MEDIA_TYPE as GLB
from meshcore.weave.solids.gltf import glb_bytes
from meshcore.weave.solids.stl import MEDIA_TYPE as STL
from meshcore.weave.solids.stl import stl_bytes

_HERE = Path(__file__).with_suffix("")
_NAME = "cloth_model"
#: Models kept as they were last looked at.
_KEPT = 16


def draw(weave: int, wire_m: float, pitch_m: float, name: str, key: str) -> None:
    """Draw the model of a cloth with its tools, and below it its files.

    Parameters
    ----------
    weave
        Index into ``WEAVES``.
    wire_m, pitch_m
        Sizes [m].
    name
        What it is, for those who hear it.
    key
        Of this place on the page.
    """
    with st.container(key=f"{key}_model"):
        _component()(
            key=key,
            data={"file": _encoded(weave, wire_m, pitch_m), "name": name, "base": _base()},
        )
        with st.container(horizontal=True, key=f"{key}_files"):
            for ending, media, write in ((".glb", GLB, glb_bytes), (".stl", STL, stl_bytes)):
                st.download_button(
                    f"Model as {ending}", partial(_file, write, weave, wire_m, pitch_m),
                    file_name=f"cloth{ending}", mime=media, icon=":material/download:",
                    on_click="ignore", key=f"{key}_{ending[1:]}",
                )  # fmt: skip


def _file(write: Callable[[ClothSolid], bytes], weave: int, wire_m: float, pitch_m: float) -> bytes:
    return write(_solid(weave, wire_m, pitch_m, FINE))


def _solid(weave: int, wire_m: float, pitch_m: float, facets: Facets) -> ClothSolid:
    sizes = (np.array([weave]), np.array([wire_m]), np.array([pitch_m]))
    [solid] = cloth_solids(*sizes, PITCHES, facets)
    return solid


@lru_cache(_KEPT)
def _encoded(weave: int, wire_m: float, pitch_m: float) -> str:
    return base64.b64encode(glb_bytes(_solid(weave, wire_m, pitch_m, COARSE))).decode("ascii")


def _base() -> str:
    """Path under which the server's own files lie."""
    path = str(st.get_option("server.baseUrlPath")).strip("/")
    return f"/{path}/" if path else "/"


def _component() -> Callable[..., object]:
    html, css, script = (
        _HERE.with_suffix(ending).read_text("utf-8") for ending in (".html", ".css", ".js")
    )
    return st.components.v2.component(_NAME, html=html, css=css, js=script)
