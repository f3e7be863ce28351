"""Fields that the models of all files share: each carries its unit in its name, and its range here."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, PlainSerializer, StringConstraints


def _speed(value: object) -> object:
    """`10G` and `100M` are the trade's way to write 10000 and 100 Mb/s."""
    if isinstance(value, str) and value[-1:] in ("G", "M"):
        try:
            mbps = Decimal(value[:-1]) * (1000 if value.endswith("G") else 1)
        except ArithmeticError:
            return value
        return int(mbps) if mbps.is_finite() and mbps == int(mbps) else value
    return value


Id = Annotated[str, StringConstraints(min_length=1, max_length=64, pattern=r"^[A-Za-z0-9][A-Za-z0-9 ._/+-]*$")]
Text = Annotated[str, StringConstraints(min_length=1, max_length=400)]
Country = Annotated[str, StringConstraints(pattern=r"^[A-Z]{2}$")]
Count = Annotated[int, Field(ge=0, le=100_000)]
Watts = Annotated[Decimal, Field(ge=0, le=100_000, decimal_places=1)]
Metres = Annotated[Decimal, Field(ge=0, le=1_000_000, decimal_places=3)]
Mbps = Annotated[int, BeforeValidator(_speed), Field(ge=10, le=10_000_000)]
Airflow = Literal["front-to-back", "back-to-front", "side-to-side", "fanless"]
Role = Literal["stack", "network", "split"]
Polish = Literal["UPC", "APC", "PC"]
PoeClass = Annotated[int, Field(ge=0, le=8)]
Number = Annotated[Decimal, PlainSerializer(float, return_type=float, when_used="json")]  # in answers


class Model(BaseModel):
    """Frozen, strict about unknown keys."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Content(Model):
    """Some of one part inside the box of another."""

    part: Id  # part number of what lies in the box
    count: Annotated[int, Field(ge=1, le=1000)] = 1  # how many of it
    movable: bool = False  # may serve another unit of the same stack


class Part(Model):
    """Anything with a part number that can be on a bill."""

    id: Id  # part number, as the price list has it
    description: Text  # its words on the bill
    contents: tuple[Content, ...] = ()  # listed in full; not unfolded further
    regions: tuple[Id, ...] = ()  # region or country codes where it is sold; empty: everywhere
    marks: tuple[Id, ...] = ()  # compliance marks it carries
    weight_kg: Annotated[Decimal, Field(ge=0, le=1000)] | None = None  # of one; none: not known
