"""The pipe of a site: its size by the table, or by what the file says of its own, and its like."""

from __future__ import annotations

from dataclasses import replace

from wellsolar.data import pipes
from wellsolar.data.pipes import PipeSize
from wellsolar.errors import OutOfRange
from wellsolar.site.schema import Pipe

STEEL = "galvanised steel"

NEAR = 0.97
"""Share of a pipe's bore that a pipe in its place has at least: common practice, no source."""


def size_of(pipe: Pipe) -> PipeSize:
    """The size of a pipe, with what the file gives in place of the table's.

    Parameters:
        pipe: of a material of the table, of a size of it or with its own bore
    """
    try:
        size = pipes.pipe_size(pipe.material, pipe.size)
    except OutOfRange:
        # The checks ask a size that no table has for its own bore and outside diameter.
        like = pipes.pipe_size(pipe.material, pipes.sizes(pipe.material)[0])
        size = replace(like, nominal=pipe.size, listed=pipe.size, diameter=pipe.size, wall="")
    if pipe.bore is None and pipe.outside_diameter is None and pipe.roughness is None:
        return size
    return replace(
        size,
        bore=size.bore if pipe.bore is None else float(pipe.bore),
        outside_diameter=float(pipe.outside_diameter or size.outside_diameter),
        roughness=size.roughness if pipe.roughness is None else float(pipe.roughness),
        provenance="given",
    )


def from_this_up(pipe: Pipe) -> tuple[PipeSize, ...]:
    """A pipe and the wider ones of its material that are named as it is.

    Returns:
        the pipe itself, then those of the table from small to large
    """
    size = size_of(pipe)
    wider = (
        pipe_size
        for pipe_size in pipes.named_alike(pipe.material, size)
        if pipe_size.bore > size.bore
    )
    return (size, *wider)


def steel_like(pipe: Pipe) -> str | None:
    """The size of galvanised steel that takes a pipe's place.

    Returns:
        its name in inches or as DN, as the pipe's; None where none is as wide
    """
    size = size_of(pipe)
    named = "in" if size.series[0] == "in" else "DN"
    for nominal in pipes.sizes(STEEL):
        steel = pipes.pipe_size(STEEL, nominal)
        if steel.bore >= NEAR * size.bore or steel.diameter == size.diameter:
            return nominal if named == "in" else pipes.NOMINAL_DIAMETERS[nominal]
    return None
