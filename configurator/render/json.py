"""The answer as JSON, and the schema that it keeps.

`python -m configurator.render.json` prints the schema; it is kept in `configurator/schema/`.
"""

from __future__ import annotations

import json
import sys

from configurator.answer import SCHEMA_VERSION, Answer
from configurator.review.audit import Audit


def render(answer: Answer) -> str:
    """The answer, indented, keys in the models' order."""
    return answer.model_dump_json(by_alias=True, indent=2) + "\n"


def of_audit(audit: Audit) -> str:
    """The record of an answer, one object."""
    return audit.model_dump_json(by_alias=True, indent=2) + "\n"


def schema() -> str:
    """JSON Schema (draft 2020-12) of the answer."""
    body = Answer.model_json_schema(by_alias=True, mode="serialization")
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": f"Answer, schema {SCHEMA_VERSION}"}
    return json.dumps({**body, **head}, indent=2, sort_keys=True) + "\n"


if __name__ == "__main__":
    sys.stdout.write(schema())
