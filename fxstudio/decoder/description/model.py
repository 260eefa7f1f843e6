"""A decoder description: everything the project knows about a decoder, from one file.

`tables.py` says which tables a file may hold, `checks.py` what must fit together. All styles
of coding are rows of fields (`fields.py`), so that reading and writing them is one walk and
needs no code per decoder.
"""

from __future__ import annotations

from pydantic import ValidationError, model_validator
from pydantic_core import InitErrorDetails, PydanticCustomError

from fxstudio.decoder.description.checks import first_problems
from fxstudio.decoder.description.tables import Tables


class Description(Tables):
    """One decoder description file."""

    @model_validator(mode="after")
    def _fits_together(self) -> Description:
        problems = first_problems(self)
        if problems:
            raise ValidationError.from_exception_data(
                "Description",
                [
                    InitErrorDetails(
                        type=PydanticCustomError(
                            "description", problem.text, {"allowed": problem.allowed}
                        ),
                        loc=problem.field,
                        input=problem.given,
                    )
                    for problem in problems
                ],
            )
        return self
