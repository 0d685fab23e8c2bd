"""What all parts of the model file share: strict types, no unknown keys, no change after birth."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

__all__ = ["Confidence", "Entry", "NotNegative", "Number", "Positive"]

Number = Annotated[float, Field(allow_inf_nan=False)]
Positive = Annotated[float, Field(gt=0, allow_inf_nan=False)]
NotNegative = Annotated[float, Field(ge=0, allow_inf_nan=False)]
Confidence = Annotated[float, Field(ge=0, le=1)]


class Entry(BaseModel):
    """A part of the file."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, validate_by_name=True)
